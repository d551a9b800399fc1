"""Names a part or material in hand from measurements and marks: keys of candidates, ranked by partial evidence."""

from kb.identify.errors import EvidenceProblem, KeyProblems
from kb.identify.load import key, keys
from kb.identify.model import Identification, Key, KeyName
from kb.identify.rank import identify
from kb.identify.ring import KeyRing

__all__ = ["EvidenceProblem", "Identification", "Key", "KeyName", "KeyProblems", "KeyRing", "identify", "key", "keys"]
