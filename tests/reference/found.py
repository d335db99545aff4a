"""Legs that are found against legs that stringers write (common practice): the shipped patterns without legs come to
the moves of the legs they are usually strung by; around the world, from what it insists on, to the pulls, knots and
routes of its legs (how far it is threaded ahead is a matter of taste); what is found passes the independent verifier;
a second search finds the same; the figures of a search are those of compare; its JSON obeys its schema; every way
that is listed can be strung as it is listed: its legs, put into the pattern, come to its pulls, knots and figures; and
clamps that are said to be enough are, and one less is not; with few clamps nothing is called best that is worse than
legs that do with them."""
import json
import os
import re

from harness import ROOT, patterns
from reference import ways
from reference.compare import close
from reference.compare import figures as figures_of
from reference.verify import verify

# Pattern: the legs it is usually strung by, in place of the lines that leave them to be found.
USUAL = {
    "kestrel-plain": ("kestrel", "mains from head, M1..M7 on each side, pull 3 ahead then 2\n short tie 6T\n"
                                 "long C18..C1, thread 1 ahead, tie 6H"),
    "kestrel-two": ("kestrel", "mains from head, M1..M7 on each side, pull 3 ahead then 2\n left tie 6T\n right tie 6T\n"
                               "cross start right 6H, C1..C18, thread 1 ahead, tie 5T"),
    "heron-two": ("heron", "mains from throat, M1..M8 on each side, pull 2 ahead\n left tie 8T\n right tie 8T\n"
                           "cross start right 6H, C1..C19, thread 1 ahead, tie 5T"),
    "heron-one": ("heron", "mains from head, M1..M8 on each side, pull 3 ahead then 2\n short tie 6H\n"
                           "long C1..C19, thread 1 ahead, tie 8T"),
    "dunlin-down": ("dunlin", "mains from head, M1..M8 on each side, pull 3 ahead then 2\n short tie 6H\n"
                              "long C1..C17, thread 1 ahead, tie 7T"),
    "pike-two": ("pike", "mains from head, M1..M9 on each side, pull 3 ahead then 2\n left tie 7T\n right tie 7T\n"
                         "cross start right 7H, C1..C20, thread 1 ahead, tie 6T"),
    "swift-one": ("swift", "mains from head, M1..M11 on each side, pull 3 ahead then 2\n short tie 7T\n"
                           "long C22..C1, thread 1 ahead, tie 7H"),
    "swift-two": ("swift", "mains from head, M1..M11 on each side, pull 2 ahead\n left tie 7T\n right tie 7T\n"
                           "cross start left 7H, C1..C22, thread 1 ahead, tie 6T"),
    "teal-down": ("teal", "mains from head, M1..M8 on each side, pull 3 ahead then 2\n short tie 6H\n"
                          "long C1..C16, thread 1 ahead, tie 7T"),
}
# Pattern: what it insists on, in place of its legs.
AROUND = {
    "kestrel-world": ("kestrel", "mains from head, pull 3 ahead then 2\n around the world\n hold M7, C1 for later\n"
                                 "hold C16..C18 for short\n finish at head"),
    "heron-world": ("heron", "mains from throat, pull 3 ahead then 2\n around the world\n hold M8, C1 for later\n"
                             "hold C18..C19 for short\n finish at head\n short tie 8T\n find the rest"),
}
LEG = re.compile(r"^ *(?:mains|long|short|left|right|cross|find) [^\n]*\n", re.M)


def rewritten(suite, file, name, lines):
    """The file's text with other legs in one of its patterns."""
    with open(f"patterns/{file}.slv", encoding="utf-8") as source:
        text = source.read()
    block = re.search(rf'^pattern {name} .*?^}}', text, re.M | re.S).group(0)
    return text.replace(block, LEG.sub("", block).replace("\n}", f"\n{lines}\n}}"))


def exported(suite, what, text, name):
    status, out, err = suite.run("export", "-", "-p", name, cwd="patterns", stdin=text.encode())
    return json.loads(out) if suite.check(f"{what} exports", status == 0, err.decode()) else None


def pulls_and_knots(data):
    return [{key: move.get(key) for key in ("do", "end", "strand", "enter", "leave", "tension", "hole")}
            for move in data["moves"] if move["do"] in ("pull", "tie")]


def same_work(suite, what, one, other, every_move=True):
    if one is None or other is None:
        return
    parts = {"pulls and knots": pulls_and_knots, "ends": lambda data: data["ends"], "weave": lambda data: data["weave"]}
    if every_move:
        parts["moves"] = lambda data: data["moves"]
    for part, of in parts.items():
        suite.check(f"{what}: the same {part}", of(one) == of(other),
                    next((f"{a}\n{b}" for a, b in zip(of(one), of(other)) if a != b), "one is longer"))
    faults = verify(other)
    suite.check(f"{what} passes the independent verifier", not faults, "\n".join(faults[:20]))


def usual(suite):
    for name, (file, legs) in USUAL.items():
        status, out, err = suite.run("export", f"patterns/{file}.slv", "-p", name)
        if suite.check(f"{name} exports", status == 0, err.decode()):
            found = json.loads(out)
            suite.check(f"{name} is found, and proved", found.get("found", {}).get("proved") is True)
            same_work(suite, f"{name} as it is usually strung",
                      exported(suite, f"{name} written", rewritten(suite, file, name, legs), name), found)


def around(suite):
    for name, (file, lines) in AROUND.items():
        status, out, err = suite.run("export", f"patterns/{file}.slv", "-p", name)
        if suite.check(f"{name} exports", status == 0, err.decode()):
            same_work(suite, f"{name} from its intents",
                      json.loads(out), exported(suite, f"{name} from its intents",
                                                rewritten(suite, file, name, lines), name), False)


def figures(suite):
    """What search lists for the way a pattern is strung is what compare says of it."""
    for name, (file, _) in USUAL.items():
        listed = json.loads(suite.run("search", f"patterns/{file}.slv", "-p", name, "--format", "json")[1])
        again = json.loads(suite.run("search", f"patterns/{file}.slv", "-p", name, "--format", "json")[1])
        suite.check(f"{name}: a second search finds the same", listed == again)
        suite.check(f"{name}: ways are listed best first",
                    [way["aims"] for way in listed["found"]] ==
                    sorted([way["aims"] for way in listed["found"]], key=lambda aims: list(aims.values())))
        rows = json.loads(suite.run("compare", f"patterns/{file}.slv", "-p", name, "-p", name, "--format",
                                    "json")[1])["rows"]
        compared = {row["row"]: row["a"] for row in rows}
        for key, value in listed["found"][0]["figures"].items():
            suite.check(f"{name}: {key} as compare has it", compared[key] == value, f"{compared[key]} {value}")
        aims = listed["found"][0]["aims"]
        suite.check(f"{name}: aims and figures agree",
                    aims["loops_over"] == compared["loops_over"] and
                    abs(aims["longest_loop"] - compared["loop_longest"]) < 0.002 and
                    abs(aims["loop_length"] - compared["loops_length"]) < 0.05, f"{aims}")


def shipped():
    """Every shipped pattern: (file, name)."""
    for path in patterns():
        with open(os.path.join(ROOT, path), encoding="utf-8") as file:
            for name in re.findall(r"^pattern (\S+)", file.read(), re.M):
                yield path, name


def validator():
    import jsonschema
    with open(os.path.join(ROOT, "docs/search.schema.json"), encoding="utf-8") as file:
        schema = json.load(file)
    jsonschema.Draft202012Validator.check_schema(schema)
    return jsonschema.Draft202012Validator(schema)


def is_valid(suite, what, valid, data):
    errors = [f"{list(error.path)}: {error.message}" for error in valid.iter_errors(data)]
    suite.check(f"{what}: what is found obeys its schema", not errors, "\n".join(errors))


def judge_list(suite, what, data, exported_whole):
    """What the schema cannot say."""
    pieces = len(exported_whole["strings"])
    strands = {strand["id"] for strand in exported_whole["strands"]}
    for number, way in enumerate(data["found"], 1):
        suite.check(f"{what}, way {number}: a long side of one piece, a second piece of two",
                    ("long_side" in way) == (pieces == 1) and ("cut_second" in way["figures"]) == (pieces == 2), way)
        suite.check(f"{what}, way {number}: every strand is pulled once",
                    sorted(pull["strand"] for pull in way["pulls"]) == sorted(strands), way["pulls"])
        suite.check(f"{what}, way {number}: every end is tied once",
                    sorted(knot["end"] for knot in way["knots"] if knot["kind"] == "tie") ==
                    sorted(end["name"] for end in exported_whole["ends"]), way["knots"])
    legs = [way["legs"] for way in data["found"]]
    suite.check(f"{what}: no way twice", all(legs.count(leg) == 1 for leg in legs), legs)


def refuses(suite, valid, data):
    """The schema sees one thing wrong."""
    def broken(change):
        copy = json.loads(json.dumps(data))
        change(copy)
        return list(valid.iter_errors(copy))
    for what, change in {
            "another schema": lambda d: d.update(schema="selvage-compare/1"),
            "no word on the proof": lambda d: d.pop("proved"),
            "six ways": lambda d: d.update(found=d["found"][:1] * 6),
            "something more": lambda d: d.update(frame="kestrel-125"),
            "a hole that cannot be": lambda d: d["found"][0]["pulls"][0].update(enter="right 1H"),
            "half a loop": lambda d: d["found"][0]["aims"].update(loops_over=0.5),
            "an aim left out": lambda d: d["found"][0]["aims"].pop("changes"),
            "a figure left out": lambda d: d["found"][0]["figures"].pop("drawn"),
            "a leg of two ends": lambda d: d["found"][0]["legs"].append("mains from head, M1 on each side"),
            "a knot of no kind": lambda d: d["found"][0]["knots"][0].pop("kind")}.items():
        suite.check(f"the schema refuses {what}", broken(change))


def in_place(path, name, way):
    """The pattern's text with the legs of a way in place of its own: of a mains line that is a leg, how its ends take
    turns goes with it."""
    with open(os.path.join(ROOT, path), encoding="utf-8") as source:
        text = source.read()
    block = re.search(rf"^pattern {name} .*?^}}", text, re.M | re.S).group(0)
    bare = re.sub(r"^  (?:long|short|left|right|cross|find) [^\n]*\n", "", block, flags=re.M)
    bare = re.sub(r"^(  mains +from \w+), M[^\n]*\n", r"\1\n", bare, flags=re.M)
    lines = [f"  {leg}\n" for leg in way["legs"]]
    if not re.search(r"^  mains +from ", bare, re.M):
        lines.insert(0, f"  mains from {way['mains_from']}\n")
    if "long_side" in way:
        bare = re.sub(r"(?m)^  one piece[^\n]*", f"  one piece, long side {way['long_side']}", bare)
    return text.replace(block, bare[:-1] + "".join(lines) + "}")


def strung_as_listed(suite, path, name, number, way):
    what = f"{name}, way {number}"
    data = exported(suite, f"{what}, its legs written", in_place(path, name, way), name)
    if data is None:
        return
    pulls = [{key: move[key] for key in ("end", "strand", "enter", "leave")} for move in data["moves"] if move["do"] == "pull"]
    suite.check(f"{what}: its pulls", pulls == way["pulls"], f"{pulls}\n{way['pulls']}")
    knots = [{"end": move["end"], "kind": move.get("at", "tie"), "hole": move["hole"]}
             for move in data["moves"] if move["do"] == "tie"]
    suite.check(f"{what}: its knots", knots == way["knots"], f"{knots}\n{way['knots']}")
    wanted = figures_of(data)
    for key, value in way["figures"].items():
        suite.check(f"{what}: {key}", close(value, wanted[key]), f"{value} {wanted[key]}")
    faults = verify(data)
    suite.check(f"{what} passes the independent verifier", not faults, "\n".join(faults[:20]))


def listed(suite):
    """Every shipped pattern, as written and mirrored, in JSON."""
    valid, count = validator(), 0
    for path, name in shipped():
        for more in ([], ["--mirror"]):
            what = " ".join([name, *more])
            status, out, err = suite.run("search", path, "-p", name, "--ways", "5", "--format", "json", *more)
            if not suite.check(f"{what} is searched", status == 0 and err == b"", err.decode()):
                continue
            data = json.loads(out)
            is_valid(suite, what, valid, data)
            whole = json.loads(suite.run("export", path, "-p", name, *more)[1])
            suite.check(f"{what}: legs that are written stand beside what is found",
                        ("written" in data) == ("found" not in whole), list(data))
            if "written" in data:
                suite.check(f"{what}: their figures", all(close(value, figures_of(whole)[key])
                                                          for key, value in data["written"]["figures"].items()))
            judge_list(suite, what, data, whole)
            if not more:
                for number, way in enumerate(data["found"], 1):
                    count += 1
                    strung_as_listed(suite, path, name, number, way)
        one = json.loads(suite.run("search", path, "-p", name, "--ways", "1", "--format", "json")[1])
        is_valid(suite, f"{name}, one way", valid, one)
        suite.check(f"{name}: of one way it is the best", len(one["found"]) == 1)
    suite.check("many ways were strung", count >= 30, count)
    refuses(suite, valid, data)


CLAMPS = re.compile(r"clamps (\d) fixed, (\d) starting would do: the bench has (\d) and (\d)")


def clamps_named(suite):
    """The fewest clamps that would do, for benches with too few: of legs left to be found, and of written ones."""
    named = 0
    for name, pieces in {"kestrel": "two pieces", "otter": "one piece", "teal": "one piece\n around the world"}.items():
        with open(os.path.join(ROOT, f"patterns/{name}.slv"), encoding="utf-8") as source:
            text = source.read()
        frame = re.search(r"^frame (\S+)", text, re.M).group(1)
        for lines in ("", "mains from head, pull 1 ahead", "mains from head, M1..M3 on each side\n find the rest"):
            def check(fixed, starting):
                return suite.run("check", "-", "-p", "asked", cwd="patterns", stdin=(
                    f"{text}\nbench few {{ clamps {fixed} fixed, {starting} starting }}\n"
                    f"pattern asked for {frame} {{ {pieces}\n bench few\n tension 25 lb\n {lines}\n}}").encode())[:2]

            for has in ((0, 0), (0, 4), (1, 1)):
                told = check(*has)[1].decode()
                if "SV-509" not in told:
                    continue
                what, help = f"{name}, {lines or 'no lines'}, a bench of {has}", CLAMPS.search(told)
                if not suite.check(f"{what}: clamps are named", help is not None, told):
                    continue
                fixed, starting, *bench = map(int, help.groups())
                named += 1
                suite.check(f"{what}: its clamps are told", tuple(bench) == has, told)
                suite.check(f"{what}: {fixed} and {starting} suffice", check(fixed, starting)[0] == 0, told)
                for less in ((fixed - 1, starting), (fixed, starting - 1)):
                    if less[0] >= has[0] and less[1] >= has[1]:
                        suite.check(f"{what}: {less} do not", b"SV-509" in check(*less)[1], told)
    suite.check("clamps were named", named >= 20, named)


# Legs of two pieces that do with one fixed clamp and one starting clamp, strung by hand: the knot that is tied at once
# frees a clamp. Nothing worse may be called best there, nor may it be said that there is no way.
ONE_OF_EACH = """frame tried {
  inside   168.4 mm wide, 199.3 mm long
  outline  ellipse
  holes head M0 - M1..M3 C1..C4
  holes throat M0..M3 C8..C5
  tape     0H at 0 mm, 1H at 9.78 mm, 2H at 19.73 mm, 3H at 30.32 mm, 4H at 40.81 mm, 5H at 51.16 mm, 6H at 61.65 mm,
           7H at 72.06 mm, 8H at 101.71 mm, 7T at 172.57 mm, 6T at 141.0 mm, 5T at 113.42 mm, 4T at 85.59 mm,
           3T at 61.3 mm, 2T at 32.55 mm, 1T at 15.92 mm, 0T at 0 mm
  tie-off  2T, 1T, 0T, 3H
  short side left
}
bench few { clamps 1 fixed, 1 starting }
pattern asked for tried {
  two pieces
  tension 24 lb
  mains from head, right first
  bench few
LEGS}
"""
BY_HAND = """  right M1
  left M0, M1..M3, tie 3H
  right M2..M3, tie 1T
  cross start right 3H, C1..C8, thread 1 ahead, tie 2T
"""


def first_found(suite, text):
    """The figures of the best way by the aims; None where there is none."""
    status, out, err = suite.run("search", "-", "-p", "asked", "--ways", "1", "--format", "json", stdin=text.encode())
    return json.loads(out)["found"][0]["aims"] if status == 0 else None


def skipping_is_free(suite):
    """A cross that may come at any time may come in its turn: `skip` makes no best way worse."""
    for name in ("kestrel", "heron", "dunlin", "pike", "swift", "teal", "otter"):
        with open(os.path.join(ROOT, f"patterns/{name}.slv"), encoding="utf-8") as source:
            frame = re.search(r"^frame (\S+)", source.read(), re.M).group(1)
        for pieces in ("one piece", "two pieces"):
            def best(line):
                text = f'use "{name}.slv"\npattern asked for {frame} {{ {pieces}\n tension 25 lb\n {line} }}'
                status, out, _ = suite.run("search", "-", "-p", "asked", "--ways", "1", "--format", "json",
                                           cwd="patterns", stdin=text.encode())
                return list(json.loads(out)["found"][0]["aims"].values()) if status == 0 else None

            plain = best("crosses from head")
            for number in (1, 5, 9):
                skipped = best(f"crosses from head, skip C{number}")
                suite.check(f"{frame}, {pieces}, skip C{number}: no worse", plain is None or (
                    skipped is not None and skipped <= plain), (plain, skipped))


def few_clamps(suite):
    """With few clamps: the best legs of the plentiful bench, where `check` finds that they do, are the best there too."""
    suite.check("one clamp of each: the legs by hand will do", suite.run(
        "check", "-", stdin=ONE_OF_EACH.replace("LEGS", BY_HAND).encode())[0] == 0)
    aims = first_found(suite, ONE_OF_EACH.replace("LEGS", ""))
    suite.check("one clamp of each: no late mains", aims and (aims["late_mains"], aims["loops_over"]) == (0, 2), aims)
    does = 0
    for number in range(300):
        case = ways.make_case(number)
        if "aims" in case.text:
            continue
        text = case.text.replace("pattern tried-so", "pattern asked").rstrip("}\n ") + "\n  bench b\n}\n"
        benches = {few: f"bench b {{ clamps {few[0]} fixed, {few[1]} starting }}\n" for few in
                   ((6, 3), (2, 0), (1, 1), (1, 0))}
        best = first_found(suite, benches[6, 3] + text)
        if best is None:
            continue
        legs = suite.run("expand", "-", "-p", "asked", stdin=(benches[6, 3] + text).encode())[1].decode()
        for few in list(benches)[1:]:
            legs_there = re.sub(r"clamps +6 fixed, 3 starting", f"clamps {few[0]} fixed, {few[1]} starting", legs)
            if suite.run("check", "-", stdin=legs_there.encode())[0] != 0:
                continue
            does += 1
            suite.check(f"case {number}, clamps {few}: as good as with plenty",
                        first_found(suite, benches[few] + text) == best, text)
    suite.check("few clamps did", does >= 100, does)


def run(suite):
    usual(suite)
    around(suite)
    figures(suite)
    listed(suite)
    clamps_named(suite)
    skipping_is_free(suite)
    few_clamps(suite)
