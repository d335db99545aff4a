#!/usr/bin/python3
"""How long legs take to be found, and how many states the search looks at: for every frame of patterns/ every
subset of what its patterns insist on; for all of them 700 texts of whatever may be insisted on, always the same ones;
and a frame of 20 x 22 with nothing but one piece. Whole processes, the better of two runs.
usage: search.py SELVAGE FOLDER (for scratch files)"""
import itertools
import json
import os
import random
import re
import subprocess
import sys
import time

PATTERNS = os.path.join(os.path.dirname(__file__), "..", "..", "patterns")
LEAD = "mains from head, pull 3 ahead then 2"
# frame: its file, and groups of lines of which one or none is taken; the first says the pieces
FRAMES = {
    "kestrel-125": ("kestrel", [
        ["one piece", "one piece, long side right", "two pieces"],
        ["crosses from throat", "crosses from head", "crosses from head, skip C1"],
        [LEAD, "mains from head"], ["around the world"], ["hold M7, C1 for later"], ["hold C16..C18 for short"],
        ["finish at head"]]),
    "heron-16": ("heron", [
        ["one piece", "one piece, long side right", "two pieces"],
        ["crosses from head", "crosses from head by long", "crosses from head, skip C1"],
        [LEAD, "mains from throat, pull 3 ahead then 2"], ["around the world"], ["hold M8, C1 for later"],
        ["hold C18..C19 for short"], ["finish at head"]]),
    "dunlin-16": ("dunlin", [
        ["one piece", "one piece, long side left", "two pieces"], ["crosses from head", "crosses from head by long"],
        [LEAD, LEAD + ", right first"], ["starting clamps 1"], ["starting clamps 0"], ["loops up to 60 mm"]]),
    "pike-18": ("pike", [
        ["one piece", "one piece, long side right", "two pieces"], ["crosses from head", "crosses from throat"],
        [LEAD], ["loops up to 60 mm"], ["finish at throat"]]),
    "swift-88": ("swift", [
        ["one piece", "one piece, long side right", "two pieces"],
        ["crosses from head", "crosses from throat", "crosses from throat by long"],
        [LEAD, "mains from head, pull 2 ahead"], ["loops up to 60 mm"], ["finish at head"]]),
    "teal-fan": ("teal", [
        ["one piece", "one piece, long side right", "two pieces"], ["crosses from head", "crosses from head by long"],
        [LEAD], ["loops up to 60 mm"], ["finish at throat"]]),
    "otter-15": ("otter", [
        ["one piece", "one piece, long side right", "two pieces"], ["crosses from throat", "crosses from head"],
        [LEAD], ["loops up to 60 mm"], ["finish at head"]]),
}
# frame: its outermost main, and the crosses at the throat
LAST = {"kestrel-125": ("M7", "C16..C18"), "heron-16": ("M8", "C18..C19"), "dunlin-16": ("M8", "C16..C17"),
        "pike-18": ("M9", "C19..C20"), "swift-88": ("M11", "C21..C22"), "teal-fan": ("M8", "C15..C16"),
        "otter-15": ("M7", "C16..C17")}
DENSE = """frame dense-20 {
  inside   250 mm wide, 340 mm long
  outline  superellipse 2.2, taper 6 %
  holes head    M1..M7 C1 M8 C2 M9 M10 C3..C11
  holes throat  M1..M7 C22 M8 C21 M9 M10 C20..C12
  tie-off  6H, 7H, 6T, 7T
}
pattern x for dense-20 {
  one piece
  tension 55 lb
}
"""


def measure(selvage, path):
    """(ms of a check, nodes or None where there is no way, whether proved); None where the text is wrong by itself"""
    best, result = 1e9, None
    for _ in range(2):
        begun = time.perf_counter()
        result = subprocess.run([selvage, "check", path], capture_output=True, text=True, check=False)
        best = min(best, (time.perf_counter() - begun) * 1e3)
    proved = not re.search(r"SV-51[89]", result.stdout)
    if result.returncode and not re.search("SV-5(09|19)", result.stdout):
        return None
    if result.returncode:
        return best, None, proved
    result = subprocess.run([selvage, "search", path, "--ways", "1", "--format", "json"], capture_output=True,
                            text=True, check=True)
    return best, json.loads(result.stdout)["nodes"], proved


def mixed(rng):
    """A frame, and whatever may be insisted on."""
    frame = rng.choice(sorted(FRAMES))
    main, crosses = LAST[frame]
    one, lines = rng.random() < 0.66, []

    def maybe(chance, text):
        if rng.random() < chance:
            lines.append(text)

    lines.append(rng.choice(["one piece", "one piece, long side left", "one piece, long side right"]) if one
                 else "two pieces")
    maybe(0.7, f"crosses from {rng.choice(['head', 'throat'])}" + (rng.choice(["", "", " by long", " by short"]) if one
                                                                  else "") + rng.choice(["", "", ", skip C1", ", skip C2"]))
    maybe(0.7, f"mains from {rng.choice(['head', 'throat'])}" + rng.choice(
        ["", ", pull 3 ahead then 2", ", pull 2 ahead", ", pull 1 ahead", ", pull 2 ahead then 1"]) +
        (rng.choice(["", "", ", long first", ", short first"]) if one else ""))
    maybe(0.4 * one, "around the world")
    maybe(0.4, f"hold {rng.choice([main + ', C1', main, 'C1', crosses])} for later")
    maybe(0.4 * one, f"hold {crosses} for {rng.choice(['short', 'long'])}")
    maybe(0.3, f"loops up to {rng.choice([50, 60, 70, 80, 100, 150])} mm")
    maybe(0.25, f"starting clamps {rng.choice([0, 1, 2])}")
    maybe(0.2, f"fixed clamps {rng.choice([1, 2])}")
    maybe(0.35, f"finish at {rng.choice(['head', 'throat'])}")
    return frame, lines


def write(path, frame, lines):
    use = os.path.relpath(os.path.join(PATTERNS, FRAMES[frame][0] + ".slv"), os.path.dirname(path))
    body = "".join(f"  {line}\n" for line in lines)
    with open(path, "w", encoding="utf-8") as out:
        out.write(f'use "{use}"\npattern x for {frame} {{\n{body}}}\n')


def row(name, results):
    results = [result for result in results if result]
    found = [r for r in results if r[1] is not None]
    none = [r for r in results if r[1] is None]
    cut = sum(not r[2] for r in results)
    times = sorted(r[0] for r in found)
    print(f"{name:14} {len(found):5} {times[len(times) // 2]:8.1f} {times[-1]:8.1f} {max(r[1] for r in found):9,}"
          f" {len(none):6} {max((r[0] for r in none), default=0):8.1f} {cut:5}")


def main():
    selvage, folder = sys.argv[1:]
    path = os.path.join(folder, "search.slv")
    print(f"{'legs found':14} {'ways':>5} {'median':>8} {'slowest':>8} {'nodes':>9} {'none':>6} {'slowest':>8}"
          f" {'cut':>5}   (times in ms)")
    for frame, (_, groups) in FRAMES.items():
        results = []
        for lines in itertools.product(groups[0], *([None, *group] for group in groups[1:])):
            two = lines[0] == "two pieces"
            lines = [line for line in lines if line and not (two and ("around" in line or "short" in line
                                                                      or "by long" in line))]
            lines = [line for line in lines if two or "right first" not in line]
            write(path, frame, lines)
            results.append(measure(selvage, path))
        row(frame, results)
    rng, results = random.Random(1), []
    for _ in range(700):
        write(path, *mixed(rng))
        results.append(measure(selvage, path))
    row("all, mixed", results)
    with open(path, "w", encoding="utf-8") as out:
        out.write(DENSE)
    row("20 x 22, bare", [measure(selvage, path)])


if __name__ == "__main__":
    main()
