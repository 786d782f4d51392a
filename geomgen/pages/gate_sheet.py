"""The cut / don't-cut sheet: one answer for a set of files, and what it rests on."""

import hashlib
from collections.abc import Mapping, Sequence
from typing import Any

from geomgen.documents.record import Banner, Block, Heading, Notice, Table, Words, rows_of
from geomgen.drafting.own_lengths import in_inches
from geomgen.drafting.paper.title import RELEASED
from geomgen.pages.rows import PartRow
from geomgen.verdicts.check import Check
from geomgen.verdicts.wording import check_cells, finding_cells, points_text

CUT, DO_NOT = "CUT", "DO NOT CUT"
CAUTIONS = (
    "A geometry aid, not an airworthiness approval: it knows nothing of strength and flutter, and "
    "its masses are computed, no weighing.",
    "Local codes and licensed practice come first; have design and work looked at by people who "
    "are qualified to do so.",
    "Measure the three dimensions of each part with a tape before the first cut, and the 100 mm "
    "square on every print.",
)
AS_CUT = (
    "They are those of the finished parts, after their cut-outs and without the parts that join "
    "them (the pod without its exit); a plug, which has no cut-outs yet, may be larger."
)
HASHED = (
    "Hash of the whole set (SHA-256): {}. The hash of each file stands in cut_or_not.json; "
    "geomgen verify checks them."
)
SCALES = (
    "Weigh each part when it is finished, one piece at a time; of parts that joints have cut, all "
    "of them together. A difference of more than the band: look again before you go on. Take what "
    "the scales said back into the file: geomgen weigh --help."
)
# A line to write on, in a cell of its own.
TO_FILL_IN = "_" * 18
AXES = "x aft from the datum, y to the right-hand side, z up; right-hand parts have y > 0"


def verdict_of(checks: Sequence[Check], findings: Sequence[Check], reason: str) -> str:
    """Return the answer: CUT when nothing failed, else DO NOT CUT, or that it was released.

    >>> verdict_of([], [], "")
    'DO NOT CUT'
    """
    if checks and not failures(checks, findings):
        return CUT
    return RELEASED if reason else DO_NOT


def failures(checks: Sequence[Check], findings: Sequence[Check]) -> list[str]:
    """Return the ids of everything that failed or was due and not measured."""
    return [check.id for check in (*checks, *findings) if check.stops]


def warnings(checks: Sequence[Check], findings: Sequence[Check]) -> list[str]:
    """Return the ids of everything that is to be looked at and stops nothing.

    So is what was to be measured on a shop's file, and was not.
    """
    unknown = [one.id for one in findings if one.verdict == "not_measured" and not one.stops]
    return [check.id for check in (*checks, *findings) if check.verdict == "warn"] + unknown


def counted(verdict: str, many: int) -> str:
    """Return the answer with its count of warnings.

    >>> counted("CUT", 0), counted("CUT", 2)
    ('CUT - no warnings', 'CUT - 2 warnings')
    """
    return f"{verdict} - {many or 'no'} warning{'' if many == 1 else 's'}"


def content(
    head: Mapping[str, str],
    checks: Sequence[Check],
    findings: Sequence[Check],
    parts: Sequence[PartRow],
    hashes: Mapping[str, str],
    reason: str,
    notices: Sequence[str] = (),
    weights: Sequence[Mapping[str, Any]] = (),
) -> dict[str, Any]:
    """Return the sheet as plain values: JSON as it is, and what the page is made from.

    `head` holds name, title, revision and the parameters' fingerprint; `hashes` map every file of
    the set to its SHA-256. `notices` say how the parts came about, `weights` what
    is to be weighed and what was computed [kg, mm].
    """
    return {
        **head,
        "verdict": verdict_of(checks, findings, reason),
        "failed": failures(checks, findings),
        "warnings": warnings(checks, findings),
        "released_because": reason,
        "measured_on": "the files of this set as read back from the disk",
        "axes": AXES,
        "up": "z up; every drawing says which way is up",
        "checks": [check.as_dict() for check in checks],
        "findings": [finding_row(finding) for finding in findings],
        "parts": [part.as_dict() for part in parts],
        "to_weigh": list(weights),
        "notices": list(notices),
        "set_sha256": set_hash(hashes),
        "files": dict(sorted(hashes.items())),
        "cautions": list(CAUTIONS),
    }


def set_hash(hashes: Mapping[str, str]) -> str:
    """Return one SHA-256 for a whole set: that of the lines "hash, two blanks, name", sorted.

    >>> set_hash({})[:8]
    'e3b0c442'
    """
    lines = "".join(f"{value}  {name}\n" for name, value in sorted(hashes.items()))
    return hashlib.sha256(lines.encode("utf-8")).hexdigest()


def finding_row(finding: Check) -> dict[str, Any]:
    """Return a finding as plain values."""
    return {
        "id": finding.id,
        "part": finding.part,
        "what": finding.what,
        "measured": finding.measured,
        "unit": finding.unit,
        "low": finding.target.low,
        "high": finding.target.high,
        "verdict": finding.verdict,
        "where": finding.where,
        "method": finding.method,
        "source": finding.source,
        "advice": finding.note,
    }


def blocks(
    sheet: Mapping[str, Any], checks: Sequence[Check], findings: Sequence[Check]
) -> list[Block]:
    """Return the page of the sheet's `content`: the answer first, then what it rests on."""
    answer = counted(str(sheet["verdict"]), len(sheet["warnings"]))
    made: list[Block] = [Banner(answer, loud=sheet["verdict"] != CUT)]
    if sheet["released_because"]:
        made.append(Banner(f"Reason: {sheet['released_because']}", loud=True))
    if sheet["failed"]:
        made.append(Words("Failed: " + ", ".join(sheet["failed"])))
    if sheet["warnings"]:
        made.append(
            Words("Read before cutting, each with what to do: " + grouped(sheet["warnings"]))
        )
    made.append(
        Words(
            f"{sheet['title']}, revision {sheet['revision']}. This page is the answer, the others "
            f"are what it rests on. Measured on {sheet['measured_on']}. "
            f"Axes: {sheet['axes']}. Up: {sheet['up']}."
        )
    )
    made += [Words(text, small=True) for text in sheet["cautions"]]
    made.append(Words(HASHED.format(sheet["set_sha256"]), small=True))
    made += [Heading("Checks, measured on the files as read back"), _checks(checks)]
    if findings:
        made += [Heading("Measured on what the shops get"), _findings(findings)]
    made.append(Heading("Three dimensions of each part for the tape"))
    made.append(Words(AS_CUT, small=True))
    made += map(Notice, sheet["notices"])
    made.append(_parts(sheet["parts"]))
    if sheet["to_weigh"]:
        made += [Heading("Masses for the scales"), Words(SCALES, small=True)]
        made.append(_weights(sheet["to_weigh"]))
    return made


def grouped(ids: Sequence[str]) -> str:
    """Return ids in a line, those that begin with the same two words told once with their count.

    >>> grouped(["mould.draft.pod_left", "mould.draft.pod_right", "core.notch.panel1_left.1"])
    'mould.draft (2), core.notch (1)'
    """
    count: dict[str, int] = {}
    for one in ids:
        name = ".".join(one.split(".")[:2])
        count[name] = count.get(name, 0) + 1
    return ", ".join(f"{name} ({many})" for name, many in count.items())


def _checks(checks: Sequence[Check]) -> Table:
    rows = rows_of((*check_cells(check), _where(check)) for check in checks)
    head = ("check", "measured", "limit", "margin", "verdict", "where; closest points")
    return Table(head, rows, (0.21, 0.13, 0.17, 0.11, 0.1, 0.28))


def _where(check: Check) -> str:
    points = points_text(check.points)
    if points and in_inches():
        return _joined(check.where, f"{points_text(check.points, inches=True)} / {points}")
    return _joined(check.where, points.removesuffix(" mm"))


def _findings(findings: Sequence[Check]) -> Table:
    rows = rows_of((*finding_cells(finding), _told(finding)) for finding in findings)
    head = ("measured", "value", "limit", "verdict", "what, where, what to do")
    return Table(head, rows, (0.22, 0.12, 0.14, 0.08, 0.44))


def _told(finding: Check) -> str:
    """Return what and where; what to do only where all is not well, or the page frightens."""
    due = "" if finding.verdict == "pass" else finding.note
    return _joined(finding.what, finding.where, due)


def _joined(*texts: str) -> str:
    return "; ".join(text for text in texts if text)


def _parts(parts: Sequence[Mapping[str, Any]]) -> Table:
    rows = rows_of(
        (
            part["part"],
            part["hand"] or "-",
            *(f"{dimension['value']:.1f} mm" for dimension in part["dimensions"]),
            part["treatment"],
        )
        for part in parts
    )
    head = ("part", "hand", "length over all", "breadth over all", "height over all", "skin")
    return Table(head, rows, (0.2, 0.08, 0.13, 0.13, 0.13, 0.33))


def _weights(weights: Sequence[Mapping[str, Any]]) -> Table:
    """Return the parts to weigh with what was computed; the last two columns are to be filled in.

    >>> row = {"part": "pod", "mass_kg": 9.5, "band_kg": 1.4, "centre_mm": [1e3, 0.0, 7e2]}
    >>> _weights([row]).rows[0].cells[:6]
    ('pod', '9.500', '1.400', '1000', '0', '700')
    """
    rows = rows_of(
        (
            weight["part"],
            f"{weight['mass_kg']:.3f}",
            f"{weight['band_kg']:.3f}",
            *(f"{round(place) + 0:d}" for place in weight["centre_mm"]),
            TO_FILL_IN,
            TO_FILL_IN,
        )
        for weight in weights
    )
    head = (
        *("part", "computed [kg]", "band [kg], +/-", "STA [mm]", "BL [mm]", "WL [mm]"),
        *("scales said, with unit", "date, initials"),
    )
    return Table(head, rows, (0.2, 0.1, 0.1, 0.08, 0.08, 0.08, 0.2, 0.16))
