"""Tables that people typed: what is read, and for each bad file every cell that is named.

RFC 4180, "Common Format and MIME Type for Comma-Separated Values (CSV) Files", for quotes and line ends.
"""

import csv
import io
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cyclokit import tables
from cyclokit.tables import BadTable, Column

BENCH = [
    Column("run", unique=True),
    Column("arm", "number", "mm", 20, 200),
    Column("force", "number", "N", 0.5, 15),
    Column("turns", "whole", least=1, most=500, needed=False),
]
ROWS = [{"run": "01", "arm": 80.0, "force": 1.5, "turns": 12}, {"run": "02", "arm": 80.5, "force": 2.0, "turns": None}]

GOOD = {
    "commas and points": "run,arm_mm,force_N,turns\n01,80,1.5,12\n02,80.5,2,\n",
    "semicolons and decimal commas": "run;arm_mm;force_N;turns\n01;80;1,5;12\n02;80,5;2,0;\n",
    "tabs": "run\tarm_mm\tforce_N\tturns\n01\t80\t1.5\t12\n02\t80.5\t2\t\n",
    "quoted decimal commas": 'run,arm_mm,force_N,turns\n01,"80,0","1,5",12\n02,"80,5",2,\n',
    "no header": "01,80,1.5,12\n02,80.5,2,\n",
    "other units": "Run;Arm [cm];Force (kN);turns\n01;8;0,0015;12\n02;8,05;0,002;\n",
    "another order, a column less named": "force_N,run,turns,arm\n1.5,01,12,80\n2,02,,80.5\n",
    "from a spreadsheet": "\ufeffrun,arm_mm,force_N,turns\r\n01,80,1.5,12\r\n\r\n02,80.5,2,\r\n,,,\r\n",
    "with blanks": " run , arm_mm , force_N , turns \n 01 , 80 , 1.5 , 12 \n 02 , 80.5 , 2 , \n",
}
# for each bad file every fault: row, column, and how what is said of it begins or what it holds
BAD = {
    "nothing": ("", [(0, "", "has no rows")]),
    "blanks": ("\n ,,\n", [(0, "", "has no rows")]),
    "letters": ("run,arm_mm,force_N\n1,eighty,2\n2,80,O.5\n", [(2, "arm_mm", "'eighty'"), (3, "force_N", "'O.5'")]),
    "not a number": ("run,arm_mm,force_N\n1,nan,inf\n", [(2, "arm_mm", "'nan' is no"), (2, "force_N", "'inf' is no")]),
    "open cells": (
        "run,arm_mm,force_N\n1,,2\n,80,\n",
        [(2, "arm_mm", "empty"), (3, "run", "empty"), (3, "force_N", "em")],
    ),
    "no column": ("run,arm_mm\n1,80\n", [(1, "force_N", "there is no such column")]),
    "two of a name": ("run,arm_mm,force_N,run\n1,80,2,1\n", [(1, "run", "two columns")]),
    "strange unit": ("run,arm_ft,force_N\n1,80,2\n", [(1, "arm_ft", "the unit 'ft'")]),
    "out of range": (
        "run,arm_mm,force_N\n1,80,-2\n",
        [(2, "force_N", "'-2' is out of range: a number from 0.5 to 15 N")],
    ),
    "ten": ("run,arm_mm,force_N\n1,8,2\n2,80,2\n", [(2, "arm_mm", "times 10 it")]),
    "inches": ("run,arm_mm,force_N\n1,1,2\n", [(2, "arm_mm", "times 25.4 it")]),
    "thousand": ("run,arm_mm,force_N\n1,0.08,2\n2,80000,3\n", [(2, "arm_mm", "times 1000"), (3, "arm_mm", "by 1000")]),
    "swapped": (
        "run,arm_mm,force_N\n1,80,2\n2,2,80\n",
        [(3, "arm_mm", "'2' would fit the column force_N"), (3, "force_N", "'80' would fit the column arm_mm")],
    ),
    "twice": ("run,arm_mm,force_N\na,80,2\nb,80,2\nA,80,2\n", [(4, "run", "'A' stands in row 2")]),
    "a comma too many": ("run,arm_mm,force_N\n1,80,5,2\n", [(2, "", "4 cells where 3")]),
    "a cell short": ("run,arm_mm,force_N\n1,80\n2,80,1\n", [(2, "", "2 cells where 3")]),
    "points and commas": (
        "run;arm_mm;force_N\n1;80,5;2,5\n2;80.5;2,5\n",
        [(3, "arm_mm", "'80.5' has a decimal point")],
    ),
    "half a turn": ("run,arm_mm,force_N,turns\n1,80,2,2.5\n", [(2, "turns", "'2.5' is no number: a whole")]),
    "an open quote": ('run,arm_mm,force_N\n1,"80,2\n', [(2, "", "a quotation mark")]),
    "many at once": (
        "run;arm_mm;force_N;turns\n1;8;x;0\n1;;2;3\n",
        [
            (2, "arm_mm", "times 10"),
            (2, "force_N", "'x'"),
            (2, "turns", "'0' is out"),
            (3, "arm_mm", "em"),
            (3, "run", "'1'"),
        ],
    ),
}


@pytest.mark.parametrize("text", GOOD.values(), ids=GOOD)
def test_a_table_is_read_however_it_is_typed(text):
    assert tables.read(text.encode(), BENCH).rows == ROWS


@pytest.mark.parametrize(("text", "expected"), BAD.values(), ids=BAD)
def test_every_bad_cell_is_named_and_no_other(text, expected):
    with pytest.raises(BadTable) as raised:
        tables.read(text.encode(), BENCH, "runs.csv")
    faults = raised.value.faults
    assert [(fault.row, fault.column) for fault in faults] == [(row, column) for row, column, _ in expected]
    for fault, (_, _, words) in zip(faults, expected, strict=True):
        assert words in fault.why
        assert str(fault) in str(raised.value)
    assert str(raised.value).startswith("runs.csv can't be used as it is:")


def test_a_comma_that_may_part_thousands_is_asked_about():
    wide = [Column("run"), Column("speed", "number", least=0, most=5000)]
    with pytest.raises(BadTable, match=r"'1,200' could be 1.2 or 1200: which is meant\?"):
        tables.read(b"run;speed\n1;1,200\n", wide)
    narrow = [Column("run"), Column("speed", "number", least=0, most=100)]
    assert tables.read(b"run;speed\n1;1,200\n", narrow).rows == [{"run": "1", "speed": 1.2}]


@pytest.mark.parametrize("content", ["run,arm\nä,80\n".encode("latin-1"), "run,arm\n".encode("utf-16"), b"run\0,arm\n"])
def test_another_encoding_is_told(content):
    with pytest.raises(BadTable, match="save it as 'CSV UTF-8'"):
        tables.read(content, BENCH)


def test_what_is_left_out_is_said():
    read = tables.read(b"id,colour\n007,red\n\n008,blue\n", [Column("id")])
    assert read.notes == ["Row 3 is empty and was left out.", "The column 'colour' is not asked for and was not read."]
    notes = tables.read(b"1,80,2\n", BENCH).notes
    assert notes == ["There is no header: the columns are taken to be run, arm_mm, force_N, in this order."]


@pytest.mark.parametrize("content", [b"007\n008\n", b"name,group\nann,1\n"])
def test_of_texts_alone_a_header_can_not_be_told_from_a_row(content):
    with pytest.raises(BadTable, match=r"no cell is called 'id': is this the header, or a row\?"):
        tables.read(content, [Column("id")])


def test_other_columns_are_kept_as_they_are_typed_when_asked_for():
    read = tables.read(b'group,id,note\n01,007,"a, b"\n', [Column("id")], keep_others=True)
    assert read.rows == [{"id": "007"}]
    assert read.others == [{"group": "01", "note": "a, b"}]


def test_the_template_is_read_as_a_header():
    with pytest.raises(BadTable) as raised:
        tables.read(tables.template(BENCH) + b"1,80,x,\n", BENCH)
    assert [(fault.row, fault.column) for fault in raised.value.faults] == [(2, "force_N")]


@pytest.mark.parametrize(
    ("given", "kind", "said"),
    [
        ({"name": 5}, TypeError, "name must be"),
        ({"name": " "}, ValueError, "name is empty"),
        ({"kind": "numbers"}, ValueError, "kind is 'numbers', but must be one of text, number, whole"),
        ({"kind": None}, ValueError, "kind is None"),
        ({"unit": 1.0}, TypeError, "unit must be"),
        ({"least": "0"}, TypeError, "least must be"),
        ({"most": math.nan}, ValueError, "most is nan"),
        ({"least": True}, TypeError, "least must be"),
        ({"least": 5.0, "most": 1.0}, ValueError, "least is 5 and most 1"),
        ({"unique": "yes"}, TypeError, "unique must be"),
        ({"needed": 0}, TypeError, "needed must be"),
    ],
)
def test_a_column_that_cannot_be_is_told(given, kind, said):
    with pytest.raises(kind, match=said):
        Column(**{"name": "arm"} | given)
    assert Column("arm", least=-math.inf, most=math.inf).wanted == "a text"


def test_columns_that_cannot_be_told_apart_are_refused():
    for columns, kind in (([], ValueError), ([Column("a"), Column("A")], ValueError), ("arm", TypeError)):
        with pytest.raises(kind, match="columns"):
            tables.read(b"a\n1\n", columns)


TEXTS = st.text(st.characters(exclude_categories=("Cs", "Cc")), min_size=1).map(str.strip).filter(bool)


@given(st.lists(TEXTS, min_size=1, unique=True), st.sampled_from(",;\t"))
def test_a_text_comes_back_as_it_was_typed(texts, delimiter):
    file = io.StringIO()
    csv.writer(file, delimiter=delimiter).writerows([["id", "end"], *([text, "x"] for text in texts)])
    read = tables.read(file.getvalue().encode(), [Column("id"), Column("end")])
    assert [row["id"] for row in read.rows] == texts
