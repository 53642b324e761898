"""A STEP file read as text (ISO 10303-21), its splines by SciPy: no CAD kernel is needed."""

import re
from collections import Counter

import numpy as np
from scipy.interpolate import BSpline


def entities(file):
    """Every entity of the data section by its number: its kind, and what stands in its brackets."""
    text = re.sub(r"\s*\n\s*", "", file.decode("ascii").replace("\r", "").partition("DATA;")[2])
    found = re.findall(r"#(\d+) ?= ?([A-Z0-9_]*) ?\((.*?)\);", text)
    return {int(number): (kind, inside) for number, kind, inside in found}


def of_kind(found, kind):
    return {number: inside for number, (name, inside) in found.items() if name == kind}


def references(inside):
    return [int(number) for number in re.findall(r"#(\d+)", inside)]


def point(found, number):
    return [float(value) for value in re.search(r"\(([^()]*)\)", found[number][1])[1].split(",")]


def numbers_in(inside):
    """The lists in brackets that hold numbers alone."""
    lists = re.findall(r"\(([-+.\dE,]+)\)", inside)
    return [np.array([float(value) for value in one.split(",")]) for one in lists]


def spline(found, inside):
    """A B-spline curve as points (n, 2 or 3), several between every two knots."""
    degree = int(inside.split(",")[1])
    poles = np.array([point(found, number) for number in references(inside)])
    times, knots = numbers_in(inside)
    curve = BSpline(np.repeat(knots, times.astype(int)), poles, degree)
    return curve((knots[:-1, None] + np.diff(knots)[:, None] * np.linspace(0, 1, 5)).ravel())


def is_closed(found):
    """Whether every edge of the one shell is met twice by its faces' loops."""
    (shell,) = of_kind(found, "CLOSED_SHELL").values()
    met = Counter()
    for face in references(shell):
        for bound in re.findall(r"#(\d+)", re.match(r"'[^']*',\(([^)]*)\)", found[face][1])[1]):
            (loop,) = references(found[int(bound)][1])
            met.update(references(found[side][1])[0] for side in references(found[loop][1]))
    return set(met.values()) == {2} and set(met) == set(of_kind(found, "EDGE_CURVE"))


def disc(file):
    """A disc's edge, at its bottom and at its top, and its cylinders as x, y, radius."""
    found = entities(file)
    lengths = [inside for _, inside in found.values() if "LENGTH_UNIT()" in inside]
    assert lengths and all("SI_UNIT(.MILLI.,.METRE.)" in inside for inside in lengths), "no millimetres"
    assert is_closed(found), "open"
    curves = [spline(found, inside) for inside in of_kind(found, "B_SPLINE_CURVE_WITH_KNOTS").values()]
    edges = [curve for curve in curves if curve.shape[1] == 3]
    assert len({edge[0, 2] for edge in edges}) == 2, "no bottom or no top"
    rings = []
    for inside in of_kind(found, "CYLINDRICAL_SURFACE").values():
        middle = point(found, references(found[references(inside)[0]][1])[0])
        rings.append((*middle[:2], float(inside.rsplit(",", 1)[1])))
    return [edge[:, :2] for edge in edges], rings
