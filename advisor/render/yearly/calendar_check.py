"""Checks of a calendar file on its raw bytes, for what a writing library lets pass.

Sections are of RFC 5545 unless another is named.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

_PROPERTY = re.compile(r"(?P<name>[A-Z0-9-]+)(?P<parameters>(?:;[A-Z0-9-]+=[^:;]*)*):(?P<value>.*)")
_DATE = re.compile(r"\d{4}(0[1-9]|1[0-2])(0[1-9]|[12]\d|3[01])")
_MOMENT = re.compile(r"\d{8}T([01]\d|2[0-3])[0-5]\d[0-5]\dZ?")
_FORMS = {
    "DTSTAMP": (r"\d{8}T\d{6}Z", "must be in UTC (3.8.7.2)"),
    "SEQUENCE": (r"\d+", "must be a whole number from 0 on (3.8.7.4)"),
    "STATUS": ("CONFIRMED|TENTATIVE|CANCELLED", "is no status of an event (3.8.1.11)"),
    "TRANSP": ("TRANSPARENT", "must not block time (3.8.2.7)"),
}
_DURATION = re.compile(r"[+-]?P(\d+W|(\d+D)?(T(\d+H)?(\d+M)?(\d+S)?)?)")
_LONGEST = 75
_ONCE = ("UID", "DTSTAMP", "DTSTART", "DTEND", "SUMMARY", "SEQUENCE", "STATUS", "TRANSP")

Property = tuple[str, str, str]
Component = tuple[str, list[Property]]


def check_calendar(raw: bytes) -> tuple[str, ...]:
    """Every fault found, in words; empty for a sound file."""
    return tuple(_faults(raw))


def _faults(raw: bytes) -> Iterator[str]:
    if not raw.endswith(b"\r\n") or b"\n" in raw.replace(b"\r\n", b""):
        yield "a line does not end in CRLF (3.1)"
    for number, octets in enumerate(raw.split(b"\r\n"), 1):
        if len(octets) > _LONGEST:
            yield f"line {number} has {len(octets)} octets, at most {_LONGEST} (3.1)"
        try:
            text = octets.decode()
        except UnicodeDecodeError:
            yield f"line {number} is not UTF-8, or a fold cuts a character (3.1)"
            return
        if any((ord(c) < 32 and c not in "\t\n") or ord(c) == 127 for c in text):
            yield f"line {number} holds a control character (3.1)"
    try:
        components = _components(re.sub(r"\r\n[ \t]", "", raw.decode()).split("\r\n"))
    except _Unreadable as error:
        yield str(error)
        return
    yield from _of_all(components)


class _Unreadable(Exception):
    """Lines that are no calendar."""


def _components(lines: list[str]) -> list[Component]:
    """The calendar and what it holds, each as its name and its own properties."""
    found: list[Component] = []
    stack: list[Component] = []
    for line in filter(None, lines):
        match = _PROPERTY.fullmatch(line)
        if match is None:
            raise _Unreadable(f"not a content line: {line[:40]} (3.1)")
        name, parameters, value = match["name"], match["parameters"], match["value"]
        if name == "BEGIN":
            stack.append((value, []))
            found.append(stack[-1])
        elif not stack:
            raise _Unreadable(f"{name} stands outside the calendar (3.4)")
        elif name == "END":
            if stack.pop()[0] != value:
                raise _Unreadable(f"END:{value} closes nothing (3.4)")
        else:
            stack[-1][1].append((name, parameters, value))
    if stack or not found:
        raise _Unreadable("a component is not closed, or there is none (3.4)")
    return found


def _of_all(components: list[Component]) -> Iterator[str]:
    checks = {"VCALENDAR": _of_calendar, "VEVENT": _of_event, "VALARM": _of_alarm}
    for kind, properties in components:
        if kind in checks:
            yield from checks[kind](properties)
        else:
            yield f"an unexpected component {kind}"
    events = [properties for kind, properties in components if kind == "VEVENT"]
    uids = [value for event in events for name, _, value in event if name == "UID"]
    if len(set(uids)) < len(uids):
        yield "two events share a UID (3.8.4.7)"


def _of_calendar(properties: list[Property]) -> Iterator[str]:
    for name in ("PRODID", "VERSION"):
        if sum(found == name for found, _, _ in properties) != 1:
            yield f"{name} must stand exactly once (3.6)"
    if any(name == "METHOD" for name, _, _ in properties):
        yield "a calendar to subscribe to has no METHOD (3.7.2)"
    for name, parameters, value in properties:
        if name == "REFRESH-INTERVAL":
            if ";VALUE=DURATION" not in parameters:
                yield "REFRESH-INTERVAL needs VALUE=DURATION (RFC 7986, 5.7)"
            if not _is_duration(value) or value.startswith("-"):
                yield f"REFRESH-INTERVAL:{value} is no positive duration (RFC 7986, 5.7)"


def _of_event(properties: list[Property]) -> Iterator[str]:
    by_name = {name: (parameters, value) for name, parameters, value in properties}
    names = [name for name, _, _ in properties]
    label = by_name.get("UID", ("", "without UID"))[1]
    for name in _ONCE:
        if names.count(name) != 1:
            yield f"event {label}: {name} must stand exactly once (3.6.1)"
    if any(";TZID=" in parameters for _, parameters, _ in properties):
        yield f"event {label}: a date has no TZID (3.2.19)"
    days = [by_name.get(name, ("", "")) for name in ("DTSTART", "DTEND")]
    timed = [bool(_MOMENT.fullmatch(value)) for _, value in days]
    for (parameters, value), moment in zip(days, timed, strict=True):
        if not moment and (";VALUE=DATE" not in parameters or not _DATE.fullmatch(value)):
            yield f"event {label}: '{value}' is neither a date nor a time (3.6.1)"
    if len(set(timed)) > 1:
        yield f"event {label}: DTSTART and DTEND are not of one kind (3.8.2.2)"
    if days[1][1] <= days[0][1]:
        yield f"event {label}: DTEND must be after DTSTART, it is exclusive (3.8.2.2)"
    for name, (form, meaning) in _FORMS.items():
        value = by_name.get(name, ("", ""))[1]
        if not re.fullmatch(form, value):
            yield f"event {label}: {name}:{value} {meaning}"


def _of_alarm(properties: list[Property]) -> Iterator[str]:
    by_name = {name: value for name, _, value in properties}
    if by_name.get("ACTION") != "DISPLAY" or not by_name.get("DESCRIPTION"):
        yield "a reminder needs ACTION:DISPLAY and a DESCRIPTION (3.6.6)"
    if not _is_duration(by_name.get("TRIGGER", "")):
        yield "a reminder needs a TRIGGER with a duration (3.8.6.3)"


def _is_duration(value: str) -> bool:
    """A duration with at least one part: `P` and `P1DT` name nothing."""
    return _DURATION.fullmatch(value) is not None and value[-1].isalpha() and value[-1] not in "PT"
