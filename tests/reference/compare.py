"""Every figure of a comparison worked out again from the two exports, by code that shares nothing with the compiler
(what the frame feels in felt.py);
and the form: obeys its schema, keeps to 80 columns, gives no verdict on the whole."""
import itertools
import json
import os
import re

from harness import ROOT
from reference import work

TAIL = 80.0  # mm of tail for a knot, as the manual has it


def name_of(hole):
    return {"L": "left ", "R": "right "}.get(hole[0], "") + hole.lstrip("LR")


def order(data):
    """Of the crosses as they are pulled; but for those the pattern skips where only that makes one."""
    def way(numbers):
        return "from head" if numbers == sorted(numbers) else "from throat" if numbers == sorted(numbers)[::-1] else "mixed"
    pulled = [move["strand"] for move in data["moves"] if move["do"] == "pull" and move["strand"][0] == "C"]
    skip = data["intents"].get("skip", [])
    whole, but = (way([int(name[1:]) for name in pulled if name not in out]) for out in ([], skip))
    if whole != "mixed" or but == "mixed":
        return whole
    return f"{but} but {spelt(skip)}"


def spelt(names):
    """C1, C2 and C4: "C1 to C2, C4"."""
    numbers, parts = sorted(int(name[1:]) for name in names), []
    for _, run in itertools.groupby(enumerate(numbers), lambda pair: pair[1] - pair[0]):
        run = [number for _, number in run]
        parts.append(f"C{run[0]} to C{run[-1]}" if len(run) > 1 else f"C{run[0]}")
    return ", ".join(parts)


def along(data, end):
    """The loops of an end from the fold or the start to its knot."""
    piece = next(piece["ends"] for piece in data["strings"] if end in piece["ends"])
    own = [loop for loop in data["loops"] if loop["end"] == end and loop["kind"] != "fold"]
    return [loop for loop in data["loops"] if loop["kind"] == "fold" and loop["end"] in piece] + own


def drawn(data):
    """(strands crossed when woven, string beyond) of each woven strand."""
    lengths = {strand["id"]: strand["length"] for strand in data["strands"]}
    real = {frozenset((row["main"], row["cross"])) for row in data["weave"]}
    ends = {end["name"]: end for end in data["ends"]}
    wall, reach = data["frame"]["outline"]["wall"], data["bench"]["reach"]
    bed, rows = set(), []
    for move in data["moves"]:
        if move["do"] not in ("thread", "weave"):
            continue
        met = sum(frozenset((move["strand"], other)) in real for other in bed)
        bed.add(move["strand"])
        if not met:
            continue
        route = ends[move["end"]]["route"]
        at = [step["strand"] for step in route].index(move["strand"])
        later = [loop["length"] for loop in along(data, move["end"]) if loop["kind"] in ("loop", "tie")][at:]
        rest = sum(lengths[step["strand"]] + 2 * wall for step in route[at + 1:]) + sum(later)
        rows.append((move["strand"], met, rest + TAIL + reach))
    return rows


def figures(data):
    loops, weaves = data["loops"], drawn(data)
    pulls = [move.get("set") for move in data["moves"] if move["do"] == "pull"]
    pulls = [pull for pull in pulls if pull]
    knots = []
    for end in data["ends"]:
        if "start" in end:
            knots.append(f"start: {name_of(end['start']['hole'])}")
        knots.append(f"{end['name']}: {name_of(end['tie']['hole'])}")
    pieces = [piece["cut"] for piece in data["strings"]] + [None]
    lanes = [[loop["lane"] for loop in along(data, end["name"])] for end in data["ends"]]
    return {
        "loops": len(loops), "loops_length": sum(loop["length"] for loop in loops),
        "loop_longest": max(loop["length"] for loop in loops), "loops_pass": sum(len(loop["passes"]) for loop in loops),
        "loops_over": sum(loop["over"] > 0 for loop in loops),
        "lane_changes": sum(a != b for row in lanes for a, b in zip(row, row[1:])),
        "cut": sum(filter(None, pieces)), "cut_first": pieces[0], "cut_second": pieces[1],
        "knots": len(knots), "knot_holes": knots,
        "knots_way": sum(loop["length"] for loop in loops if loop["kind"] == "tie"),
        "clamps_fixed": len({m["clamp"] for m in data["moves"] if m.get("clamp", "").startswith("fixed")}),
        "clamps_starting": len({m["clamp"] for m in data["moves"] if m.get("clamp", "").startswith("starting")}),
        "end_changes": work.counted(data)["change"],
        "mains_woven": sum(name[0] != "C" for name, _, _ in weaves), "crosses_woven": sum(name[0] == "C" for name, _, _ in weaves),
        "weave_most": max(met for _, met, _ in weaves), "drawn": sum(met * rest for _, met, rest in weaves),
        "time": work.seconds(data), "crosses": order(data),
        "pull_least": min(pulls, default=None), "pull_most": max(pulls, default=None),
        "pull_spread": max(pulls) - min(pulls) if pulls else None,
    }


STEP = {"drawn": 1000, "time": 60, "cut": 10, "cut_first": 10, "cut_second": 10}  # what the text rounds to
FREE = ("knot_holes", "crosses", "pull_least", "pull_most", "pull_spread")  # where less is not better


def less(key, a, b):
    if key in FREE or a is None or b is None:
        return None
    shown = [int(value / STEP.get(key, 1) + 0.5) for value in (a, b)]
    return "same" if shown[0] == shown[1] else "a" if a < b else "b"


def close(got, wanted):
    if isinstance(wanted, float) and isinstance(got, (int, float)):
        return abs(got - wanted) < 0.05 + 1e-5 * abs(wanted)  # exports round to a thousandth
    return got == wanted


def tables(text):
    """The lines of both tables: the figures, and what the frame feels."""
    lines = text.splitlines()
    first, *second = (at for at, line in enumerate(lines) if line == "-" * 80)
    return lines[first + 1:lines.index("", first)], lines[second[0] + 1:] if second else []


def ranges(suite, what, felt, lines):
    """What the frame feels: nothing without its range, nothing named that is not so in every set."""
    if "left_out" in felt:
        suite.skip(f"PASSED OVER: {what}: what the frame feels", felt["left_out"])
        return
    judged = [row["row"] for row in felt["rows"] if not row["row"].endswith("mean")]
    suite.check(f"{what}: a row and its difference each", len(lines) == 2 * len(felt["rows"]), lines)
    for row, line, below in zip(felt["rows"], lines[::2], lines[1::2]):
        for side in ("a", "b", "difference"):
            suite.check(f"{what}: {row['row']} of {side} lies in its range",
                        row[side]["least"] <= row[side]["value"] <= row[side]["most"], row)
        low, high = row["difference"]["least"], row["difference"]["most"]
        suite.check(f"{what}: {row['row']} is B less A", abs(row["difference"]["value"] - row["b"]["value"] + row["a"]["value"]) < 2e-3, row)
        suite.check(f"{what}: {row['row']} differs clearly where its sign is one", not row["clear"] or low > 0 or high < 0, row)
        less = row.get("less")
        suite.check(f"{what}: {row['row']} is judged", less in (None, "same") or row["clear"] and row["row"] in judged, row)
        if less in ("a", "b"):
            more, fewer = (row["b"], row["a"]) if less == "a" else (row["a"], row["b"])
            suite.check(f"{what}: {row['row']} is less there", abs(fewer["value"]) < abs(more["value"]), row)
        suite.check(f"{what}: the text says the same of {row['row']}",
                    line[76:].strip() == {None: "", "a": "A", "b": "B", "same": "same"}[less], line)
        number = r"[+-]?[0-9]+(\.[0-9]+)?"
        value = rf"{number} (N m|N|mm|kg|lb)( \({number} to {number}\))?"
        suite.check(f"{what}: {row['row']} is shown with its range", re.fullmatch(rf"[a-z, ]+ {value} +{value}( +(A|B|same))?", line)
                    and ("(" in line) == (felt["sets"] > 1), line)
        words = "no difference" if "no difference" in below else "no clear difference" if not row["clear"] else value
        suite.check(f"{what}: and the difference of {row['row']}", re.match(rf" +B minus A +{words}", below) and
                    (row["clear"] or "no" in below), below)


def judged(suite, what, words, found, validator, cwd=ROOT):
    status, out, err = suite.run("compare", *words, "--format", "json", cwd=cwd)
    if not suite.check(f"{what} are compared", status == 0 and err == b"", err.decode()):
        return
    data = json.loads(out)
    errors = [f"{list(error.path)}: {error.message}" for error in validator.iter_errors(data)]
    suite.check(f"{what}: the comparison obeys its schema", not errors, "\n".join(errors))
    wanted = [figures(one) for one in found]
    suite.check(f"{what}: the rows are all there", [row["row"] for row in data["rows"]] == list(wanted[0]))
    for letter, one in zip("ab", found):
        suite.check(f"{what}: what {letter} is strung with", data[letter]["strings"] == [piece["string"] for piece in one["strings"]]
                    and data[letter]["bench"] == one["bench"].get("name") and data[letter]["assumed"] == one["assumed"], data[letter])
    same_pieces = len({len(one["strings"]) for one in found}) == 1
    for row in data["rows"]:
        key = row["row"]
        a, b = (one[key] for one in wanted)
        suite.check(f"{what}: {key}", close(row["a"], a) and close(row["b"], b), f"{row}\n{a} {b}")
        verdict = less(key, row["a"], row["b"])
        if key in ("cut_first", "cut_second") and not same_pieces:
            verdict = None
        suite.check(f"{what}: which has less {key}", row.get("less") == verdict, f"{row} {verdict}")
    text = suite.run("compare", *words, cwd=cwd)[1].decode()
    suite.check(f"{what}: the text keeps to 80 columns", max(map(len, text.splitlines())) <= 80)
    table, felt = tables(text)
    verdicts = [line[76:].strip() for line in table]
    words = {None: "", "a": "A", "b": "B", "same": "same"}
    for row in data["rows"]:  # a list of knots takes lines of its own, which have no verdict
        more = max(len(row["a"]), len(row["b"])) - 1 if row["row"] == "knot_holes" else 0
        suite.check(f"{what}: the text says the same of {row['row']}", verdicts[0] == words[row.get("less")], verdicts)
        verdicts = verdicts[1 + more:]
    suite.check(f"{what}: and nothing of the whole", not verdicts, verdicts)
    ranges(suite, what, data["felt"], felt)


def check(suite, found):
    import jsonschema
    with open(os.path.join(ROOT, "docs/compare.schema.json"), encoding="utf-8") as file:
        schema = json.load(file)
    jsonschema.Draft202012Validator.check_schema(schema)
    validator = jsonschema.Draft202012Validator(schema)
    count = 0
    for (path, a, one), (other_path, b, other) in itertools.combinations(found, 2):
        if one["frame"]["name"] != other["frame"]["name"]:
            status, out, err = suite.run("compare", path, other_path, "-p", a, "-p", b)
            suite.check(f"{a} and {b} are for two frames", status == 2 and out == b"" and
                        all(data["frame"]["name"].encode() in err for data in (one, other)), err)
            continue
        count += 1
        judged(suite, f"{a} and {b}", [path, "-p", a, "-p", b], (one, other), validator)
    suite.check("patterns of one frame were compared", count >= 6, count)
    folder = os.path.join(ROOT, "tests/golden/compare")
    both = [json.loads(suite.run("export", file, cwd=folder)[1]) for file in ("own.slv", "other.slv")]
    judged(suite, "own-way and other-way", ["own.slv", "other.slv"], both, validator, folder)
    itself = json.loads(suite.run("compare", "own.slv", "own.slv", "--format", "json", cwd=folder)[1])
    suite.check("a pattern has nothing less than itself", all(row.get("less", "same") == "same" for row in itself["rows"]))
    broken = json.loads(json.dumps(itself))
    broken["rows"][3]["less"] = "c"
    suite.check("the schema refuses what is wrong", list(validator.iter_errors(broken)))
    lines = [re.sub(r"\s+$", "", row) for row in suite.run("compare", "own.slv", "own.slv", cwd=folder)[1].decode().splitlines()]
    suite.check("of one file no file is named", any(line == "A  own-way: A way of my own" for line in lines), lines)
