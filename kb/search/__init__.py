"""Search: answers a question with hits and the reason for each. It knows no SQL and no screen."""

from kb.search.filters import Filters
from kb.search.hits import Answer, Hit
from kb.search.searcher import Searcher

__all__ = ["Answer", "Filters", "Hit", "Searcher"]
