"""Turns what a person typed (`name=value`) into evidence the key can use, or says in one sentence why it cannot."""

from __future__ import annotations

from collections.abc import Mapping

from kb.identify.errors import EvidenceProblem
from kb.identify.model import Given, Key, Measurement
from kb.identify.quantity import read_figure, spell
from kb.names import nearest_names
from kb.text import fold


def read_evidence(key: Key, evidence: Mapping[str, str | float]) -> tuple[Given, ...]:
    """Return the evidence in the order of the key's measurements, whatever order it came in.

    Raises:
        EvidenceProblem: an unknown measurement or choice (the nearest are named), or a figure that cannot be meant.
    """
    known = {measurement.id: measurement for measurement in key.measurements}
    given: dict[str, Given] = {}
    for name, typed in evidence.items():
        measurement = known.get(_tidy(str(name)))
        if measurement is None:
            raise _unknown(key, str(name))
        if measurement.id in given:
            raise EvidenceProblem(measurement.id, f"{measurement.id} was given twice; give each measurement once")
        given[measurement.id] = _read(measurement, typed)
    return tuple(given[name] for name in known if name in given)


def _read(measurement: Measurement, typed: str | float) -> Given:
    if measurement.kind == "number":
        value = read_figure(measurement, typed)
        return Given(measurement.id, str(typed), spell(value, measurement.unit), value=value)
    choices = _choices(measurement, str(typed))
    texts = {choice.id: choice.text for choice in measurement.choices}
    return Given(measurement.id, str(typed), " or ".join(texts[choice] for choice in choices), choices=choices)


def _choices(measurement: Measurement, typed: str) -> tuple[str, ...]:
    """Read one choice, or several by comma when the eye cannot decide between them; any of them may be meant."""
    names = {_tidy(choice.text): choice.id for choice in measurement.choices}
    names |= {choice.id: choice.id for choice in measurement.choices}
    whole = names.get(_tidy(typed))  # the text of a choice may itself hold a comma
    if whole:
        return (whole,)
    found = []
    for part in typed.split(","):
        choice = names.get(_tidy(part))
        if choice is None:
            raise _no_choice(measurement, part)
        found.append(choice)
    return tuple(choice.id for choice in measurement.choices if choice.id in found)


def _tidy(text: str) -> str:
    return "-".join(fold(text).replace("_", " ").replace("-", " ").split())


def _unknown(key: Key, name: str) -> EvidenceProblem:
    ids = [measurement.id for measurement in key.measurements]
    nearest = nearest_names(name, ids)
    hint = f"nearest: {', '.join(nearest)}" if nearest else f"they are: {', '.join(ids)}"
    return EvidenceProblem(name, f"'{name[:60]}' is no measurement of {key.id}; {hint}", nearest)


def _no_choice(measurement: Measurement, part: str) -> EvidenceProblem:
    ids = [choice.id for choice in measurement.choices]
    nearest = nearest_names(part, ids)
    hint = f"nearest: {', '.join(nearest)}; all: " if nearest else "it may be: "
    sentence = f"{measurement.id} ({measurement.title}) cannot be '{part.strip()[:60]}'; {hint}{', '.join(ids)}"
    return EvidenceProblem(measurement.id, sentence, nearest)
