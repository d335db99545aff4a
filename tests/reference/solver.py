#!/usr/bin/python3
"""Legs that are found, by a general program: the model of docs/search.md written down for clingo (Debian package
gringo; Potassco's solver for answer sets), which proves the best way of whole frames, and is itself held against
the brute force of ways.py on small ones. What it gives back is judged by ways.judge.

Run by itself: solver.py [--selvage PATH] [--small N] [--only NAME] [--show]"""
import argparse
import json
import os
import re
import subprocess
import sys
import tempfile
import time

if __name__ == "__main__":
    sys.path[0] = os.path.dirname(os.path.dirname(os.path.abspath(__file__)))
    sys.dont_write_bytecode = True

from harness import tool
from reference.ways import AIMS, Case, Frame, Search, TooMany, in_mm, is_main, judge, make_case, nearest, number_of
from reference.ways import place_of

SMALL = 120  # cases of ways.py that both solve
LIMIT = 300  # seconds a frame may take

# A strand's holes are 0 and 1; `enter(S,D)`: it is entered by hole D. Arcs are pairs of holes with the shorter way
# between them. `nxt(S,D,R,F,A)`: an end that entered S by D may go on to R, entering by F, over arc A (rules 4 and
# 14). `le(S,T)`: S is pulled T-th or before.
MODEL = """
1 { enter(S,0); enter(S,1) } 1 :- strand(S).
1 { by(S,E) : may(S,E) } 1 :- strand(S).

% routes: every strand is the first of an end or follows another, is the last or is followed
cand(S,R) :- nxt(S,_,R,_,_).
1 { pred(S,R) : cand(S,R); first(E,R) : may(R,E) } 1 :- strand(R).
1 { pred(S,R) : cand(S,R); last(E,S) : may(S,E) } 1 :- strand(S).
1 { first(E,S) : may(S,E) } 1 :- end(E).
1 { last(E,S) : may(S,E) } 1 :- end(E).
:- first(E,S), not by(S,E).
:- last(E,S), not by(S,E).
:- pred(S,R), by(S,E), not by(R,E).
:- pred(S,R), by(R,E), not by(S,E).

% the order of all pulls
1 { at(S,T) : slot(S,T) } 1 :- strand(S).
1 { at(S,T) : slot(S,T) } 1 :- time(T).
le(S,T) :- at(S,T).
le(S,T) :- le(S,T-1), time(T).
:- pred(S,R), le(R,T), not le(S,T-1).
% S before R
before(S,R,T) :- asked(S,R), le(S,T-1), at(R,T).
before(S,R) :- before(S,R,T).

% loops: for every strand the one before it, for every knot the one to it
use(into(R),A) :- pred(S,R), enter(S,D), enter(R,F), nxt(S,D,R,F,A).
:- pred(S,R), enter(S,D), enter(R,F), not nxt(S,D,R,F,_).
1 { tie(E,H) : room(H) } 1 :- end(E).
use(knot(E),A) :- tie(E,H), last(E,S), enter(S,D), out(S,D,G), join(G,H,A).
:- tie(E,H), last(E,S), enter(S,D), out(S,D,G), not join(G,H,_).
:- tie(E,H), tie(F,H), E < F.
:- tie(E,H), last(E,S), around(H,M), le(S,T), not le(M,T).
1 { start(H) : room(H) } 1 :- end(cross).
use(start,A) :- start(H), first(cross,S), enter(S,D), startup(H,S,D,A).
:- start(H), first(cross,S), enter(S,D), not startup(H,S,D,_).
:- start(H), tie(E,H).
:- start(H), first(cross,S), around(H,M), le(S,T), not le(M,T-1).
use(fold,A) :- folds(E,F), first(E,S), first(F,R), enter(S,D), enter(R,G), in(S,D,X), in(R,G,Y), join(X,Y,A).
:- folds(E,F), first(E,S), first(F,R), enter(S,D), enter(R,G), in(S,D,X), in(R,G,Y), not join(X,Y,_).

% 1: the centre main; 3: both ends begin at one place
:- centre(M), not 1 { first(E,M) : end(E) }.
:- first(E,S), is_cross(S), E != cross.
1 { from(P) : place(P) } 1.
:- first(E,S), E != cross, enter(S,D), in(S,D,H), lies(H,P), not from(P).
% 2
:- outwards(M,N), le(N,T), not le(M,T-1).
% 5 and 6
1 { order(P) : may_order(P) } 1.
:- follow(C,D), order(head), le(D,T), not le(C,T-1).
:- follow(C,D), order(throat), le(C,T), not le(D,T-1).
behind(B,C) :- pred(B,C).
behind(A,C) :- behind(B,C), is_cross(B), not run(B,_), pred(A,B).
joined(C) :- behind(B,C), run(B,G), run(C,G).
:- end(E), runs(G), #count { C : by(C,E), run(C,G), not joined(C) } > 1.
shift(C,D) :- follow(C,D), by(C,E), not by(D,E).
:- runs(G), #count { C : shift(C,D), run(C,G) } > 1.
% 7
:- all(N), #sum { 1,S : by(S,short) } > N / 2.
% 10: the K-th main of an end against what the other has pulled by then
:- main(E,K,M), K > first_ahead, folds2(E,F), main(F,1,O), not before(O,M).
:- main(E,K,M), main(F,1,O), folds2(E,F), before(O,M), L = K - then_ahead, L >= 2, main(F,L,P), not before(P,M).
:- main(E,K,M), main(F,1,O), folds2(E,F), before(O,M), L = K - then_ahead, L >= 2, not main(F,L,_).
asked(O,M) :- folds2(E,F), main(F,1,O), main(E,K,M).
asked(P,M) :- folds2(E,F), main(F,K - then_ahead,P), main(E,K,M).
% 11
:- begins(E), folds2(E,F), main(E,1,M), main(F,1,O), le(O,T), not le(M,T-1).
% 15
lying(A) :- use(L,A).
1 { lane(A,front); lane(A,back) : lanes(2) } 1 :- lying(A).
:- crossing(A,B), lane(A,X), lane(B,X).
:- lane(A,X), guided(A,Y), lanes(2), X != Y.
% 16
crossed(T) :- at(C,T), is_cross(C).
crossed(T) :- crossed(T-1), time(T).
:- world, outer(M), at(M,T), not crossed(T-1).
:- world, outer(M), outer(N), M < N, enter(M,D), enter(N,F), in(M,D,H), in(N,F,I), lies(H,P), lies(I,P).
% 17
:- finish(P), at(S,N), all(N), by(S,E), tie(E,H), not lies(H,P).

% what is best
late(M) :- counts(M), at(M,T), crossed(T-1).
covers(A) :- lying(A), within(B,A), lying(B).
over(L) :- use(L,A), covers(A).
over(L) :- use(L,A), use(K,A), K < L.
reached(R) :- lying(A), rank(A,R).
reached(R-1) :- reached(R), R > 1.
turn(E,T) :- at(S,T), by(S,E).
change(T) :- turn(E,T), time(T+1), not turn(E,T+1).
#minimize { 1@late_mains,M : late(M) }.
#minimize { 1@loops_over,L : over(L) }.
#minimize { X@longest_loop,R : reached(R), step(R,X) }.
#minimize { X@loop_length,L : use(L,A), length(A,X) }.
#minimize { 1@changes,T : change(T) }.
#show at/2. #show by/2. #show enter/2. #show tie/2. #show start/1.
"""


def facts(case, long_side):
    """The case in the words of the model, with names as numbers of lists: (text, strands, holes, arcs)."""
    frame, lines = case.frame, []
    strands, holes = sorted(frame.strands), frame.holes
    side_of = case.sides_of_ends(long_side)
    folded = [end for end in side_of if end != "cross"]
    s, h = {name: k for k, name in enumerate(strands)}, {name: k for k, name in enumerate(holes)}
    arcs = {}

    def say(name, *words):
        lines.append(f"{name}({','.join(str(word) for word in words)})." if words else f"{name}.")

    def arc(a, b):
        """The number of an arc, None where rule 14 forbids it."""
        loop = frame.loop(a, b)
        if case.too_long(loop):
            return None
        return arcs.setdefault(loop, len(arcs))

    def may(strand):
        if strand == "M0":
            return folded
        if is_main(strand):
            return [end for end in folded if side_of[end][0].upper() == strand[0]]
        if case.pieces == 2:
            return ["cross"]
        kept = case.kept_for(strand)
        return [kept] if kept else folded
    count = len(strands)
    held = sum(strand in case.hold for strand in strands)
    say("all", count)
    for time_ in range(1, count + 1):
        say("time", time_)
    for end in side_of:
        say("end", end)
    say("folds", *folded)
    for end, other in (folded, folded[::-1]):
        say("folds2", end, other)
        for k, main in enumerate(frame.mains[side_of[end]], 1):
            say("main", end, k, s[main])
    for strand in strands:
        say("strand", s[strand])
        for end in may(strand):
            say("may", s[strand], end)
        late = strand in case.hold  # (8)
        for time_ in range(count - held + 1 if late else 1, count + 1 if late else count - held + 1):
            say("slot", s[strand], time_)
        for d in (0, 1):
            say("in", s[strand], d, h[frame.strands[strand][d]])
            say("out", s[strand], d, h[frame.strands[strand][1 - d]])
        if not is_main(strand):
            say("is_cross", s[strand])
            if case.run_of(strand):
                say("run", s[strand], case.run_of(strand))
        if case.counts_late(strand):
            say("counts", s[strand])
    if "M0" in s:
        say("centre", s["M0"])
    for hole in holes:
        say("lies", h[hole], place_of(hole))
    for hole, main in frame.tie_off.items():
        say("room", h[hole])
        say("around", h[hole], s[main])
    for one in strands:
        for d in (0, 1):
            leave = frame.strands[one][1 - d]
            for two in strands:
                if one == two or not set(may(one)) & set(may(two)):
                    continue
                for enter in nearest(frame, leave, frame.strands[two]):
                    number = arc(leave, enter)
                    if number is not None:
                        say("nxt", s[one], d, s[two], frame.strands[two].index(enter), number)
    joins = {(frame.strands[strand][d], hole) for strand in strands for d in (0, 1) for hole in frame.tie_off}
    joins |= {(a, b) for a in holes for b in holes if place_of(a) == place_of(b)}  # knots, and folds
    for a, b in sorted(joins):
        if a != b and arc(a, b) is not None:
            say("join", h[a], h[b], arc(a, b))
    if case.pieces == 2:
        for hole in frame.tie_off:
            for cross in frame.crosses:
                if hole not in frame.strands[cross]:
                    for enter in nearest(frame, hole, frame.strands[cross]):
                        if arc(hole, enter) is not None:
                            say("startup", h[hole], s[cross], frame.strands[cross].index(enter), arc(hole, enter))
    for place in ([case.mains_from] if case.mains_from else ["head", "throat"]):
        say("place", place)
    asked = case.crosses_from or frame.crosses_from
    for place in ([asked] if asked else ["head", "throat"]):
        say("may_order", place)
    for rows in frame.mains.values():
        for one, two in zip(rows, rows[1:]):
            say("outwards", s[one], s[two])
    for run in ("plain", "held"):
        row = [cross for cross in frame.crosses if case.run_of(cross) == run]
        say("runs", run)
        for one, two in zip(row, row[1:]):
            say("follow", s[one], s[two])
    say("begins", case.begins)
    if case.around:
        say("world")
    for main in frame.outermost:
        say("outer", s[main])
    if case.finish:
        say("finish", case.finish)
    say("lanes", frame.lanes)
    loops = list(arcs)
    lengths = sorted({loop.length for loop in loops})
    for number, loop in enumerate(loops):
        say("length", number, loop.length)
        say("rank", number, lengths.index(loop.length) + 1)
        for lane in loop.guided:
            say("guided", number, lane)
        for other, two in enumerate(loops):
            if loop is not two and loop.within(two):
                say("within", number, other)
            if number < other and loop.crosses(two):
                say("crossing", number, other)
    for number, (before, length) in enumerate(zip([0] + lengths, lengths), 1):
        say("step", number, length - before)
    lines.append(f"#const first_ahead = {case.ahead[0]}. #const then_ahead = {case.ahead[1]}.")
    lines += [f"#const {aim} = {len(AIMS) - number}." for number, aim in enumerate(case.aims)]
    return "\n".join(lines) + "\n", strands, holes


def solve(case, limit=LIMIT):
    """The best vector and a way that has it, both None where there is no way; the last tells how far it got:
    "proved", or "stopped" where the time was not enough."""
    best = best_way = None
    for long_side in case.long_sides():
        text, strands, holes = facts(case, long_side)
        done = subprocess.run([tool("clingo"), "--warn=none", "--outf=2", f"--time-limit={limit}",
                               "--opt-strategy=bb,hier", "-"], input=(MODEL + text).encode(), capture_output=True, timeout=limit + 60)
        answer = json.loads(done.stdout)
        if answer["Result"] not in ("OPTIMUM FOUND", "UNSATISFIABLE"):
            return None, None, "stopped: " + answer["Result"] + done.stderr.decode(errors="replace")[:500]
        if answer["Result"] == "UNSATISFIABLE":
            continue
        way = read_way(case, answer["Call"][-1]["Witnesses"][-1]["Value"], strands, holes)
        faults, vector = judge(case, way)
        if faults:
            return None, way, "not legal: " + "; ".join(faults)
        if best is None or case.ordered(vector) < case.ordered(best):
            best, best_way = vector, way
    return best, best_way, "proved"


def read_way(case, atoms, strands, holes):
    """An answer as pulls and knots."""
    rows = {}
    for atom in atoms:
        name, words = re.fullmatch(r"(\w+)\((.*)\)", atom).groups()
        rows.setdefault(name, []).append(words.split(","))
    by = {int(strand): end for strand, end in rows["by"]}
    entered = {int(strand): int(d) for strand, d in rows["enter"]}
    pulls = []
    for strand, _ in sorted(((int(s), int(t)) for s, t in rows["at"]), key=lambda row: row[1]):
        pair = case.frame.strands[strands[strand]]
        enter, leave = pair[entered[strand]], pair[1 - entered[strand]]
        pulls.append({"end": by[strand], "strand": strands[strand], "enter": enter, "leave": leave})
    knots = [{"end": end, "kind": "tie", "hole": holes[int(hole)]} for end, hole in rows["tie"]]
    knots += [{"end": "cross", "kind": "start", "hole": holes[int(words[0])]} for words in rows.get("start", [])]
    return {"pulls": pulls, "knots": knots}


# ---- whole frames ----

# What is insisted on, pattern by pattern; the frame is that of a shipped pattern of the file.
WHOLE = {
    "kestrel-plain": ("kestrel", dict(long_side="right", mains_from="head", ahead=(3, 2), crosses_from="throat")),
    "kestrel-around": ("kestrel", dict(long_side="right", mains_from="head", ahead=(3, 2), crosses_from="head", skip=["C1"],
                                       around=True, hold=["LM7", "RM7", "C1", "C16", "C17", "C18"])),
    "kestrel-two": ("kestrel", dict(pieces=2, mains_from="head", ahead=(3, 2), crosses_from="head")),
    "dunlin-down": ("dunlin", dict(long_side="left", mains_from="head", ahead=(3, 2), crosses_from="head")),
    "dunlin-long": ("dunlin", dict(long_side="left", mains_from="head", ahead=(3, 2), crosses_from="head", by="long")),
    "heron-one": ("heron", dict(long_side="right", mains_from="head", ahead=(3, 2), crosses_from="head")),
    "heron-long": ("heron", dict(long_side="right", mains_from="head", ahead=(3, 2), crosses_from="head", by="long")),
    "teal-down": ("teal", dict(long_side="right", mains_from="head", ahead=(3, 2), crosses_from="head")),
    "teal-long": ("teal", dict(long_side="right", mains_from="head", ahead=(3, 2), crosses_from="head", by="long")),
    "swift-one": ("swift", dict(long_side="right", mains_from="head", ahead=(3, 2), crosses_from="throat")),
    "kestrel-free": ("kestrel", dict(long_side="right")),
    "kestrel-short-loops": ("kestrel", dict(long_side="left", loops=40, finish="head", aims=("changes", "longest_loop"))),
    "otter-free": ("otter", dict(long_side="right")),
    "otter-two": ("otter", dict(pieces=2, crosses_from="head", finish="throat")),
    "pike-two": ("pike", dict(pieces=2, mains_from="head", ahead=(3, 2), crosses_from="head")),
    "pike-around": ("pike", dict(long_side="right", around=True, crosses_from="head", skip=["C1"])),
    "heron-around": ("heron", dict(long_side="right", mains_from="throat", ahead=(3, 2), crosses_from="head", skip=["C1"],
                                   around=True, hold=["LM8", "RM8", "C1"])),
    "swift-free": ("swift", dict(long_side="right")),
    "swift-long": ("swift", dict(long_side="right", mains_from="head", ahead=(3, 2), crosses_from="throat", by="long")),
}
FRAMES = {  # a pattern by which the frame is exported, the frame's name
    "kestrel": ("kestrel-world", "kestrel-125"), "dunlin": ("dunlin-two", "dunlin-16"), "heron": ("heron-world", "heron-16"),
    "teal": ("teal-down", "teal-fan"), "swift": ("swift-one", "swift-88"), "otter": ("otter-up", "otter-15"),
    "pike": ("pike-two", "pike-18")}


def exported_frame(data):
    """The frame of an export; its arcs are rounded to 0.001 mm there."""
    holes = data["frame"]["holes"]
    return Frame([(hole["id"], hole["arc"]) for hole in holes], {row["id"]: tuple(row["holes"]) for row in data["strands"]},
                 [hole["id"] for hole in holes if hole["tie_off"]], data["frame"]["perimeter"], data["frame"]["lanes"],
                 [(guide["hole"], guide["lane"]) for guide in data["frame"]["guides"]], data["frame"].get("crosses_from"),
                 data["frame"].get("short_side"))


def names(strands):
    """Strands as a text names them: M7 for both sides."""
    return ", ".join(dict.fromkeys(strand.lstrip("LR") for strand in strands))


def pattern_text(file, frame, asked):
    """The pattern that insists on this, in the language."""
    lines = ["two pieces" if asked.get("pieces") == 2 else f"one piece, long side {asked['long_side']}", "tension 24 lb",
             "bench plenty"]
    if "crosses_from" in asked:
        line = f"crosses from {asked['crosses_from']}" + (f" by {asked['by']}" if "by" in asked else "")
        lines.append(line + (f", skip {names(asked['skip'])}" if "skip" in asked else ""))
    if "mains_from" in asked:
        lines.append(f"mains from {asked['mains_from']}, pull {asked['ahead'][0]} ahead then {asked['ahead'][1]}")
    if asked.get("around"):
        lines.append("around the world")
    if "hold" in asked:
        lines.append(f"hold {names(asked['hold'])} for later")
    if "loops" in asked:
        lines.append(f"loops up to {asked['loops']} mm")
    if "finish" in asked:
        lines.append(f"finish at {asked['finish']}")
    if "aims" in asked:
        lines.append("aims " + ", ".join(aim.replace("_", " ") for aim in asked["aims"]))
    return "\n".join([f'use "{file}"', "bench plenty { clamps 6 fixed, 3 starting }",
                      f"pattern asked for {frame} {{", *lines, "}", ""])


def whole_case(suite, name):
    """A case of WHOLE: the case, and the text for the compiler, whose `use` is from the root."""
    from harness import ROOT
    file, asked = WHOLE[name]
    status, out, err = suite.run("export", f"patterns/{file}.slv", "-p", FRAMES[file][0])
    if not suite.check(f"the frame of {name} is exported", status == 0, err.decode()):
        return None, None
    text = pattern_text(os.path.join(ROOT, "patterns", f"{file}.slv"), FRAMES[file][1], asked)
    return Case(exported_frame(json.loads(out)), name=name, text=text, **asked), text


def told(way):
    """A way in short: who pulls what in turn, and the knots."""
    rows = []
    for pull in way["pulls"]:
        if not rows or rows[-1][0] != pull["end"]:
            rows.append((pull["end"], []))
        rows[-1][1].append(pull["strand"].lstrip("LR"))
    text = "; ".join(f"{end} {shorten(row)}" for end, row in rows)
    return text + "; " + ", ".join(f"{knot['end']} {knot['kind']} {knot['hole']}" for knot in way["knots"])


def shorten(row):
    """M1 M2 M3 C4 as M1..M3 C4."""
    parts = []
    for strand in row:
        last = parts[-1][-1] if parts else None
        steps = len(parts[-1]) > 1 and number_of(parts[-1][1]) - number_of(parts[-1][0]) if parts else 0
        step = number_of(strand) - number_of(last) if last and last[0] == strand[0] else 0
        if step in (-1, 1) and steps in (False, 0, step):
            parts[-1].append(strand)
        else:
            parts.append([strand])
    return " ".join(part[0] if len(part) == 1 else f"{part[0]}..{part[-1]}" for part in parts)


def whole(suite, only=None, show=False, compiler=True):
    for name in WHOLE:
        if only and name != only:
            continue
        case, text = whole_case(suite, name)
        if case is None:
            continue
        start = time.monotonic()
        best, way, how = solve(case)
        taken = time.monotonic() - start
        if not suite.check(f"{name}: the solver proves its best", how == "proved" and best, how):
            continue
        if show:
            print(f"{name}: {taken:.1f} s, {in_mm(best)}\n    {told(way)}")
        if not compiler:
            continue
        with tempfile.TemporaryDirectory() as folder:
            path = os.path.join(folder, "asked.slv")
            with open(path, "w", encoding="utf-8") as file:
                file.write(text)
            status, out, err = suite.run("search", path, "-p", "asked", "--format", "json")
        if not suite.check(f"{name}: the compiler finds a way", status == 0, err.decode()):
            continue
        found = json.loads(out)["found"][0]
        faults, vector = judge(case, found)
        suite.check(f"{name}: every rule kept by the compiler", not faults, "\n".join(faults))
        # the export has arcs of three digits, so a sum may be some thousandths off
        near = {"longest_loop": 0.0025, "loop_length": 0.002 * (len(case.frame.strands) + 4)}

        def alike(other):
            return all(abs(found["aims"][aim] - in_mm(other)[aim]) < near.get(aim, 0.5) for aim in AIMS)
        suite.check(f"{name}: the same best", alike(best),
                    f"the compiler: {found['aims']}\nthe solver: {in_mm(best)}\n{told(way)}")
        suite.check(f"{name}: what the compiler says of its best", vector and alike(vector), vector)


def small(suite, count=SMALL):
    """Cases of ways.py, of every size, solved by both."""
    tried = none = 0
    for number in range(count):
        case = make_case(number)
        try:
            best = Search(case, most_steps=60000).best
        except TooMany:
            continue
        other, way, how = solve(case)
        tried += 1
        none += best is None
        suite.check(f"{case.name}: solved alike", how == "proved" and other == best,
                    f"{how}\nclingo: {other}\nhere: {best}\n{way}\n{case.text}")
    suite.check("cases solved by both", tried >= min(30, count // 2), tried)
    print(f"solver: {tried} cases, {none} of them without a way")


def run(suite, count=SMALL, only=None, show=False, compiler=True):
    if tool("clingo") is None:
        suite.skip("the best ways of whole frames", "clingo is not installed: apt-get install gringo")
        return
    small(suite, count)
    whole(suite, only, show, compiler)


def main():
    from harness import Suite
    parser = argparse.ArgumentParser()
    parser.add_argument("--selvage", default="build/selvage")
    parser.add_argument("--self", action="store_true", help="without the compiler's search")
    parser.add_argument("--small", type=int, default=SMALL)
    parser.add_argument("--only", help="one of: " + ", ".join(WHOLE))
    parser.add_argument("--show", action="store_true", help="the best ways, and how long each took")
    options = parser.parse_args()
    suite, start = Suite(options.selvage), time.monotonic()
    run(suite, options.small, options.only, options.show, not options.self)
    print(f"{suite.passed} passed, {suite.failed} failed, {suite.skipped} skipped, {time.monotonic() - start:.1f} s")
    return 1 if suite.failed or not suite.passed else 0


if __name__ == "__main__":
    sys.exit(main())
