"""Legs that are found against legs that stringers write (common practice): the shipped patterns without legs come to
the moves of the legs they are usually strung by; around the world, from what it insists on, to the pulls, knots and
routes of its legs (how far it is threaded ahead is a matter of taste); what is found passes the independent verifier; a second search finds the same; and the figures of a search are those of
compare."""
import json
import re

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


def run(suite):
    usual(suite)
    around(suite)
    figures(suite)
