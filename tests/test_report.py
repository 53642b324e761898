"""What a check tells a reader: every limit in a row, the physical ones apart from advice."""

import re

import pytest

from cyclokit import Drive
from cyclokit.geometry import limits
from cyclokit.report import Report
from tests.geometry.drives import STORY, UNDERCUT

STRICT = Drive(pins=12, pin_circle_radius=40.0, roller_radius=2.0, eccentricity=3.0)  # sound, against the rule of thumb


def rows(report):
    return repr(report).splitlines()


def test_a_report_without_advice_reads_as_it_always_did():
    assert repr(limits.check(STORY)) == (
        f"{STORY!r}: sound\n"
        "  ok  loop: 0.6667 against 1.0000, margin +0.3333\n"
        "  ok  undercut: 5.0000 against 7.3679, margin +2.3679 mm\n"
        "  ok  rollers apart: 5.0000 against 6.5702, margin +1.5702 mm"
    )
    assert "<caption>The shape of this drive is sound</caption>" in limits.check(STORY)._repr_html_()
    assert repr(limits.check(UNDERCUT)).startswith(f"{UNDERCUT!r}: not sound\n")


def test_a_report_on_something_else_says_so_in_its_own_words():
    rows = limits.check(STORY).limits, limits.check(UNDERCUT).limits
    for number, (limited, word) in enumerate(zip(rows, ("fits", "too wide"), strict=True)):
        report = Report(STORY, limited, ("fits", "too wide"), ("It fits the box", "The box is too small"))
        assert repr(report).startswith(f"{STORY!r}: {word}\n")
        assert f"<caption>{report.captions[number]}</caption>" in report._repr_html_()


def test_advice_is_told_from_what_is_impossible():
    report = limits.check(STRICT, advice=True)
    assert rows(report)[0].endswith(": sound")
    assert "  --  rule of thumb (advice): 3.0000 against 2.0000, margin -1.0000 mm" in rows(report)
    assert report["rule of thumb"].trouble in rows(report)[-1]
    assert not [row for row in rows(report) if row.lstrip().startswith("NO")]
    assert "  NO  undercut" in repr(limits.check(UNDERCUT, advice=True))


def test_a_figure_without_a_bound_is_told_and_not_judged():
    report = limits.check(STORY, advice=True)
    assert "      pressure angle (figure): 0.7795 rad" in rows(report)  # 44.66 degrees
    row = next(row for row in cells(report) if "pressure angle" in row)
    assert "|0.7795 rad||||||not judged|" in row
    assert "inf" not in repr(report) and ">inf" not in report._repr_html_()


def cells(report):
    """Words of the table in a notebook, row by row."""
    table = re.findall(r"<tr>(.*?)</tr>", report._repr_html_())
    return [re.sub(r"<[^>]+>", "|", row) for row in table[1:]]


@pytest.mark.parametrize("drive", [STORY, STRICT, UNDERCUT], ids=["sound", "against the rule of thumb", "undercut"])
def test_the_notebooks_table_says_the_same(drive):
    report = limits.check(drive, advice=True, least_wall=1.0, resolution=0.2)
    for limit, row in zip(report, cells(report), strict=True):
        assert limit.name in row and limit.meaning in row
        assert ("(advice)" in row) == (not limit.physical and limit.name != "pressure angle")
        assert (limit.trouble in row) == (not limit.ok) or not limit.trouble
        assert ("|no: " in row) == (limit.physical and not limit.ok)
        assert ("|advice: " in row) == (not limit.physical and not limit.ok)


def test_the_tables_caption_goes_by_what_is_physical():
    assert "The shape of this drive is sound" in limits.check(STRICT, advice=True)._repr_html_()
    assert "The shape of this drive is not sound" in limits.check(UNDERCUT, advice=True)._repr_html_()
