"""Sides exchanged: a mirrored pattern is the mirror image of the one written, twice mirrored it is that again, and
a frame whose sides differ, or that insists on one, says so. A mirror image is made here by exchanging letters."""
import json
import os
import re

from harness import ROOT
from reference.verify import verify

ENDS = {"left": "right", "right": "left"}
# What belongs to the frame and to the bench, and is no part of the pattern.
FIXED = ("schema", "frame", "strands", "bench", "assumed", "findings")


def image(value):
    """The same with L for R and R for L: in ids of holes and strands, in sides and in the names of ends."""
    if isinstance(value, dict):
        return {name: image(item) for name, item in value.items()}
    if isinstance(value, list):
        return [image(item) for item in value]
    if isinstance(value, str) and re.fullmatch(r"[LR]M?\d+[HT]?", value):
        return {"L": "R", "R": "L"}[value[0]] + value[1:]
    return ENDS.get(value, value) if isinstance(value, str) else value


def image_of(data):
    return {name: part if name in FIXED else image(part) for name, part in data.items()}


def in_order(data):
    """Lists that are in the order of the frame and not of the work, put in an order of their own."""
    data = json.loads(json.dumps(data))
    data["pattern"].pop("mirrored", None)
    data["weave"].sort(key=lambda row: (row["main"], row["cross"]))
    data["ends"].sort(key=lambda end: end["name"])
    for piece in data["strings"]:
        piece["ends"].sort()
        piece.pop("fold", None)  # from the tip of the left end, whichever begins
    for loop in data["loops"]:
        if loop["kind"] == "fold":  # it has no direction
            loop.pop("end")
            loop["passes"].sort()
            loop["from"], loop["to"] = sorted((loop["from"], loop["to"]))
    return data


def symmetric(data):
    """Whether the frame is its own mirror image: every hole (x, y) has one of its number at (-x, y)."""
    holes = {hole["id"]: hole for hole in data["frame"]["holes"]}
    return not data["frame"]["guides"] and all(
        abs(holes[image(name)]["x"] + hole["x"]) < 0.002 and abs(holes[image(name)]["y"] - hole["y"]) < 0.002 and
        sorted(holes[image(name)]["strands"]) == sorted(image(hole["strands"])) for name, hole in holes.items())


def differences(one, other):
    return [f"{key}: {a}\n{key}: {b}" for key in one for a, b in [(one[key], other.get(key))] if a != b]


def exported(suite, what, *words, **more):
    status, out, err = suite.run("export", *words, **more)
    return json.loads(out) if suite.check(f"{what} exports", status == 0, err.decode()) else None


def images(suite, found):
    count = 0
    for path, name, data in found:
        mirrored = exported(suite, f"{name} mirrored", path, "-p", name, "--mirror")
        if mirrored is None:
            continue
        faults = verify(mirrored)
        suite.check(f"{name} mirrored passes the independent verifier", not faults, "\n".join(faults[:20]))
        suite.check(f"{name} mirrored says so", mirrored["pattern"].get("mirrored") is True and
                    "mirrored" not in data["pattern"])
        suite.check(f"{name} mirrored leaves the frame alone", mirrored["frame"] == data["frame"] and
                    mirrored["strands"] == data["strands"])
        if symmetric(data):
            count += 1
            one, other = in_order(image_of(data)), in_order(mirrored)
            suite.check(f"{name} mirrored is its mirror image", one == other, "\n".join(differences(one, other))[:3000])
    suite.check("mirror images were compared", count >= 10, count)


def twice(suite, found):
    """Written out with its sides exchanged, a pattern comes back when it is mirrored again."""
    for path, name, data in found:
        folder = os.path.join(ROOT, os.path.dirname(path))
        file = os.path.basename(path)
        plain, there = (suite.run("expand", file, "-p", name, *words, cwd=folder)[1] for words in ((), ("--mirror",)))
        suite.check(f"{name}: the text mirrored is another text", plain and there and plain != there)
        back = suite.run("expand", "-", "-p", name, "--mirror", cwd=folder, stdin=there)[1]
        suite.check(f"{name}: the text mirrored twice is the text", back == plain, back.decode())
        forms = [exported(suite, f"{name}, {what}", "-", "-p", name, *words, cwd=folder, stdin=text)
                 for what, text, words in (("written out", plain, ()), ("mirrored twice", there, ("--mirror",)))]
        if None in forms:
            continue
        for form in forms:
            form["pattern"].pop("mirrored", None)
        forms[0].pop("findings")
        forms[1].pop("findings")
        suite.check(f"{name}: mirrored twice, the same export", forms[0] == forms[1],
                    "\n".join(differences(*forms))[:3000])


def long_sides(suite, found):
    for path, name, data in found:
        if data["pattern"]["pieces"] == 2:
            continue
        own = data["pattern"]["long_side"]
        runs = {words: suite.run("export", path, "-p", name, *words)[1]
                for words in ((), ("--mirror",), ("--long-side", own), ("--long-side", ENDS[own]))}
        suite.check(f"{name} has its long side on the {own} already", runs[("--long-side", own)] == runs[()])
        suite.check(f"{name} with its long side on the {ENDS[own]} is mirrored",
                    runs[("--long-side", ENDS[own])] == runs[("--mirror",)])


def check(suite, found):
    images(suite, found)
    twice(suite, found)
    long_sides(suite, found)
