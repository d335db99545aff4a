"""What selvage bed writes of every shipped pattern: JSON obeys its schema; a row of CSV for each pull, with the same
figures; text and step list say what JSON says, within 80 columns; every range holds its value; sums over strands that
do not move are what was pulled; the line of even pulls, put into the pattern, comes to the figures it was given with;
known values are not varied, measured ones a little; a mirrored pattern comes to the mirrored bed."""
import csv
import io
import json
import os
import re
import tempfile

from harness import ROOT, patterns


def ranges(node, path=""):
    """All ranges below a node, with where they stand."""
    if isinstance(node, dict):
        if {"value", "least", "most"} <= set(node):
            yield path, node
        for key, value in node.items():
            yield from ranges(value, f"{path}/{key}")
    elif isinstance(node, list):
        for i, value in enumerate(node):
            yield from ranges(value, f"{path}/{i}")


def bed(suite, what, *words, cwd=ROOT, stdin=None):
    status, out, err = suite.run("bed", *words, "--format", "json", cwd=cwd, stdin=stdin)
    return json.loads(out) if suite.check(f"{what}: bed succeeds", status == 0, err.decode()) else None


def plausible(suite, name, data, export):
    """What any bed keeps, whatever the model: facts of statics and of what is varied."""
    for path, r in ranges(data):
        suite.check(f"{name}: {path} lies in its range", r["least"] - 1e-9 <= r["value"] <= r["most"] + 1e-9, r)
    pulls = [pull for pull in data["pulls"] if pull["do"] == "pull"]
    moves = [move for move in export["moves"] if move["do"] in ("pull", "repull")]
    suite.check(f"{name}: the pulls are those of the moves", [(p["strand"], round(p["tension"], 2)) for p in pulls] ==
                [(m["strand"], round(m["tension"], 2)) for m in moves])
    order = [strand["id"] for strand in data["strands"]]
    held = set()
    for pull in data["pulls"]:
        held.add(pull["strand"])
        at = dict(zip(order, pull["tensions"]))
        if pull["do"] == "pull":
            suite.check(f"{name}: step {pull['step']} is pulled to its tension", abs(at[pull["strand"]] - pull["tension"]) < 0.002)
        suite.check(f"{name}: step {pull['step']}: only what is strung has tension", all(t == 0 for s, t in at.items() if s not in held))
    most = 0
    for pull in data["pulls"]:
        suite.check(f"{name}: step {pull['step']}: a peak is what no pull before it reaches",
                    pull["new_peak"] == (abs(pull["moment"]) > most + 0.0005) or abs(abs(pull["moment"]) - most) < 0.002, pull["moment"])
        most = max(most, abs(pull["moment"]))
    suite.check(f"{name}: the peak of the moment is the largest", abs(most - data["peaks"]["moment"]["value"]) < 0.002)
    for key, most, least in (("width", "widest", "narrowest"), ("length", "longest", "shortest")):
        values = [0, *(pull[key] for pull in data["pulls"])]
        suite.check(f"{name}: the peaks of {key} are the farthest", abs(max(values) - data["peaks"][most]["value"]) < 0.002 and
                    abs(min(values) - data["peaks"][least]["value"]) < 0.002)
    suite.check(f"{name}: the moment off the machine", abs(abs(data["afterwards"]["moment"]) - data["off_machine"]["moment"]["value"]) < 0.002)


def rows(suite, name, words, data):
    status, out, err = suite.run("bed", *words, "--format", "csv")
    suite.check(f"{name}: CSV succeeds", status == 0 and b"\r\n" in out, err)
    table = list(csv.DictReader(io.StringIO(out.decode(), newline="")))
    suite.check(f"{name}: a row for each pull and one off the machine", len(table) == len(data["pulls"]) + 1)
    order = [strand["id"] for strand in data["strands"]]
    for row, pull in zip(table, [*data["pulls"], data["afterwards"]]):
        same = abs(float(row["width mm"]) - pull["width"]) < 0.001 and abs(float(row["moment N m"]) - pull["moment"]) < 0.001 and \
            all(abs(float(row[f"{strand} N"]) - tension) < 0.001 for strand, tension in zip(order, pull["tensions"])) and \
            (row["new peak"] == "yes") == pull.get("new_peak", False)
        suite.check(f"{name}: the row of step {row['step'] or 'none'} is the same", same, row)


def words_say(suite, name, words, data):
    text = suite.run("bed", *words)[1].decode()
    suite.check(f"{name}: the text keeps to 80 columns", max(map(len, text.splitlines())) <= 80,
                [line for line in text.splitlines() if len(line) > 80])
    for caution in ("eye protection", "range printed on the frame", "maker's instructions come first"):
        suite.check(f"{name}: it cautions: {caution}", caution in " ".join(text.split()))
    flat = " ".join(text.split())
    for value in data["values"]:
        before = "Assumed" if value["assumed"] else "Given"
        suite.check(f"{name}: it says {value['what']}", before in flat and value["words"] in flat, value)
    shown = re.search(r"bending, on the machine +(\S+) N m \((\S+) to (\S+)\) +step (\d+)", text)
    moment = data["peaks"]["moment"]
    suite.check(f"{name}: the text has the moment", shown and all(abs(float(s) - moment[k]) < 0.0501 for s, k in zip(
        shown.groups(), ("value", "least", "most"))) and int(shown.group(4)) == moment["step"], moment)
    for strand in data["strands"]:
        suite.check(f"{name}: the text has a line of {strand['id']}", re.search(
            rf"^{strand['id'].replace('LM', 'left M').replace('RM', 'right M')} +\S", text, re.M))
    steps = suite.run("steps", *words, "--bed", "--format", "csv")[1].decode()
    marked = {int(row["step"]) for row in csv.DictReader(io.StringIO(steps, newline="")) if row["load"]}
    suite.check(f"{name}: the step list marks the peaks", marked == {
        pull["step"] for pull in data["pulls"] if pull["new_peak"] and pull["do"] == "pull"}, marked)


def even(suite, name, path, data):
    """Pulls put into the pattern in the place of its own."""
    with open(os.path.join(ROOT, path), encoding="utf-8") as file:
        text = file.read()
    out = suite.run("bed", path, "-p", name, "--even")[1].decode()
    line = " ".join(out.split("in the place of its own tension lines:")[1].split())
    block = re.search(rf"^pattern {name} .*?^}}", text, re.M | re.S).group(0)
    changed = re.sub(r"^  tension .*\n(    .*\n)*", f"  {line}\n", block, flags=re.M)
    suite.check(f"{name}: its tension line was replaced", changed != block)
    folder = os.path.dirname(os.path.join(ROOT, path))
    again = bed(suite, f"{name}, even", "-", "-p", name, cwd=folder, stdin=text.replace(block, changed).encode())
    for kind in ("mains", "crosses"):
        told, got = data["even"][kind]["even"], again["off_machine"][kind]["deviation"]
        suite.check(f"{name}: {kind} are as even as was said", all(abs(told[k] - got[k]) < 0.01 for k in told), (told, got))
        asked = data["even"][kind]["asked"]["value"]
        suite.check(f"{name}: {kind} are more even than before", told["value"] <= asked + 1e-9 or data["even"]["limited"] > 0, (told, asked))
    pulls = {strand["id"]: strand["even_pull_set"] for strand in data["strands"]}
    got = {pull["strand"]: pull["tension"] for pull in again["pulls"] if pull["do"] == "pull"}
    suite.check(f"{name}: the line asks for the pulls that were told", all(abs(pulls[s] - got[s]) < 0.01 for s in pulls))


def known(suite):
    """Each value that is said is one less that is varied, and what is all known has no range."""
    frame = "squeeze 130 N per mm wide, {} N per mm long"
    text = open(os.path.join(ROOT, "patterns/kestrel.slv"), encoding="utf-8").read()
    counts = []
    first = bed(suite, "nothing known", "-", "-p", "kestrel-plain", cwd=os.path.join(ROOT, "patterns"),
                stdin=re.sub(r"^  squeeze .*\n", "", text, flags=re.M).encode())
    counts.append(first["sets"])
    kit = ('string all-known {{ gauge 1.2 mm; stiffness 5000 N }}\n'
           'bench all-known {{ clamps 2 fixed, 1 starting; mount six-point{} }}\n')
    for stiff in ("", ", 2000 N per mm"):
        whole = re.sub(r"^  squeeze .*\n", f"  {frame.format(455)}\n", text, flags=re.M) + kit.format(stiff)
        data = bed(suite, "known", "-", "-p", "kestrel-plain", "--string", "all-known", "--bench", "all-known",
                   cwd=os.path.join(ROOT, "patterns"), stdin=whole.encode())
        counts.append(data["sets"])
    suite.check("what is known is not varied, what is measured a little", counts == [144, 27, 9], counts)
    wide = [path for path, r in ranges(data) if "moment" not in path and r["most"] - r["least"] > 0.7 * (abs(r["value"]) + 1)]
    suite.check("where all is measured the ranges are narrow", not wide, wide)
    suite.check("where nothing is known, all is assumed", all(value["assumed"] for value in first["values"]))


def slack(suite):
    """Clamps that slip far leave strands without any tension, which is said; none ever pushes."""
    with open(os.path.join(ROOT, "patterns/kestrel.slv"), encoding="utf-8") as file:
        text = file.read().replace("tension 26 lb, last pulls +2 lb", "bench slips; tension 20 lb")
    text += "bench slips { clamps 2 fixed, 2 starting; draw-back 3 mm }\n"
    words = ("bed", "-", "-p", "kestrel-plain")
    data, said = (suite.run(*words, *form, cwd=os.path.join(ROOT, "patterns"), stdin=text.encode())[1]
                  for form in (("--format", "json"), ()))
    data, strung, most = json.loads(data), set(), 0
    order = [strand["id"] for strand in data["strands"]]
    for pull in data["pulls"]:
        strung.add(pull["strand"])
        most = max(most, sum(t == 0 for s, t in zip(order, pull["tensions"]) if s in strung))
    off = sum(t == 0 for t in data["afterwards"]["tensions"])
    wanted = f"strands without any tension, at these values: {most} at one time on the machine, {off} off it"
    suite.check("slack strands are told", most > 0 and wanted in " ".join(said.decode().split()), wanted)
    usual = suite.run("bed", "patterns/kestrel.slv", "-p", "kestrel-plain")[1]
    suite.check("where there are none nothing is said", usual and b"without any tension" not in usual)


def mirror(suite):
    """On a frame whose sides are alike the mirrored pattern comes to the mirrored bed."""
    one, other = (bed(suite, "mirrored", "patterns/kestrel.slv", "-p", "kestrel-world", *words) for words in ((), ("--mirror",)))
    swap = {"L": "R", "R": "L"}
    tensions = {swap.get(s["id"][0], s["id"][0]) + s["id"][1:]: s["off_machine"] for s in one["strands"]}
    suite.check("mirrored, the bed is mirrored", all(abs(tensions[s["id"]][k] - s["off_machine"][k]) < 0.002
                                                     for s in other["strands"] for k in ("value", "least", "most")))
    lines = [suite.run("bed", "patterns/kestrel.slv", "-p", "kestrel-world", "--even", *words)[1].split(b"tension lines:")[1]
             for words in ((), ("--mirror",))]
    suite.check("the line of even pulls is for the text, whose sides are not exchanged", lines[0] == lines[1], lines)
    suite.check("and says so", other.get("mirrored") is True and "mirrored" not in one)


def run(suite):
    import jsonschema
    with open(os.path.join(ROOT, "docs/bed.schema.json"), encoding="utf-8") as file:
        schema = json.load(file)
    jsonschema.Draft202012Validator.check_schema(schema)
    validator = jsonschema.Draft202012Validator(schema)
    tried = 0
    for path in patterns():
        with open(os.path.join(ROOT, path), encoding="utf-8") as file:
            names = re.findall(r"^pattern (\S+)", file.read(), re.M)
        for name in names:
            data = bed(suite, name, path, "-p", name, "--even")
            if data is None:
                continue
            tried += 1
            errors = [f"{list(error.path)}: {error.message}" for error in validator.iter_errors(data)]
            suite.check(f"{name}: the bed obeys its schema", not errors, "\n".join(errors[:5]))
            export = json.loads(suite.run("export", path, "-p", name)[1])
            plausible(suite, name, data, export)
            rows(suite, name, [path, "-p", name], data)
            words_say(suite, name, [path, "-p", name], data)
            even(suite, name, path, data)
    suite.check("every shipped pattern was felt", tried >= 13, tried)
    known(suite)
    slack(suite)
    mirror(suite)
    with tempfile.TemporaryDirectory() as folder:
        status, _, err = suite.run("bed", os.path.join(ROOT, "patterns/kestrel.slv"), "-p", "kestrel-plain", "-o", os.path.join(folder, "x"))
        suite.check("bed writes a file", status == 0 and os.path.getsize(os.path.join(folder, "x")) > 1000, err)
