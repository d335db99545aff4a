"""Against the outside: reference libraries, published document types, general programs, and facts of the
trade. What each leans on is named beside it."""
import json
import math
import os
import random
import re
import subprocess
import tempfile
import xml.etree.ElementTree as ElementTree

from harness import ROOT, TESTS, export_all, tool
from reference import bedpicture, chart, compare, drawing, mirror, play, string, work
from reference.verify import verify

DTD = "/usr/share/xml/w3c-sgml-lib/schema/dtd/REC-SVG11-20110816/svg11.dtd"
SVG = "{http://www.w3.org/2000/svg}"


def exports(suite, found):
    """Every export obeys the published JSON Schema dialect 2020-12 (python3-jsonschema) and is judged by
    verify.py, which shares nothing with the compiler."""
    import jsonschema
    with open(os.path.join(ROOT, "docs/export.schema.json"), encoding="utf-8") as file:
        schema = json.load(file)
    jsonschema.Draft202012Validator.check_schema(schema)
    validator = jsonschema.Draft202012Validator(schema)
    for _, name, data in found:
        errors = [f"{list(error.path)}: {error.message}" for error in validator.iter_errors(data)]
        suite.check(f"{name} obeys the schema", not errors, "\n".join(errors))
        faults = verify(data)
        suite.check(f"{name} passes the independent verifier", not faults, "\n".join(faults[:20]))
        broken = json.loads(json.dumps(data))
        broken["moves"][5]["do"] = "frob"
        suite.check("the schema refuses what is wrong", list(validator.iter_errors(broken)))


def first_end(data):
    return next(move["end"] for move in data["moves"] if move["do"] == "pull")


def woven(data):
    return next(move for move in data["moves"] if move["do"] == "weave")


def verifier_bites(suite, found):
    """The verifier finds what is wrong: one thing at a time is changed in a sound export."""
    for _, name, data in found[:3]:
        def changed(change):
            copy = json.loads(json.dumps(data))
            change(copy)
            return verify(copy)

        def swap(copy):
            route = copy["ends"][0]["route"][2]
            route["enter"], route["leave"] = route["leave"], route["enter"]

        def unclamp(copy):
            number = [i for i, move in enumerate(copy["moves"]) if move["do"] == "clamp"][3]
            del copy["moves"][number]
        changes = {
            "a strand twice": lambda c: c["ends"][0]["route"].append(c["ends"][1]["route"][0]),
            "an entry swapped": swap,
            "a lane changed": lambda c: [loop.update(lane="front") for loop in c["loops"]] +
            [c["frame"]["guides"].append({"hole": c["loops"][3]["from"], "lane": "back"})],
            "a crossing turned over": lambda c: c["weave"][7].update(
                over=c["weave"][7]["main"] if c["weave"][7]["over"] == c["weave"][7]["cross"] else c["weave"][7]["cross"]),
            "a clamp left out": unclamp,
            "a knot elsewhere": lambda c: c["ends"][0]["tie"].update(hole="R1H"),
            "a hole moved": lambda c: c["frame"]["holes"][9].update(x=c["frame"]["holes"][9]["x"] + 1),
            "a cut too short": lambda c: c["ends"][0]["string"].update(cut=100),
            "crosses asked for in the other order": lambda c: c["intents"].update(
                crosses_from="throat" if c["intents"]["crosses_from"] == "head" else "head"),
            "a maker who asks for another order": lambda c: c["frame"].update(
                crosses_from="throat" if c["intents"]["crosses_from"] == "head" else "head"),
            "mains asked for from the other place": lambda c: c["intents"].update(
                mains_from="throat" if c["intents"]["mains_from"] == "head" else "head"),
            "another end to begin": lambda c: c["intents"].update(
                begins=next(end["name"] for end in c["ends"] if end["name"] not in ("cross", first_end(c)))),
            "pulls asked for that nobody can keep to": lambda c: c["intents"].update(pull_ahead={"first": 0, "then": 0}),
            "legs in another order": lambda c: c["legs"].reverse(),
            "a leg that names other strands": lambda c: [
                item for item in c["legs"][-1]["items"] if "strands" in item][0].update(strands=["C1"]),
            "a weave stated the other way": lambda c: [
                leg["items"][-1].update(first="under", strands=[woven(c)["strand"]]) for leg in c["legs"][:1]]
            if woven(c)["first"] == "over" else c["moves"].clear(),
            "a strand entered by the farther hole": lambda c: [c["ends"][-1]["route"][-1].update(
                enter=c["ends"][-1]["route"][-1]["leave"], leave=c["ends"][-1]["route"][-1]["enter"])],
            "a pull beyond the frame's range": lambda c: [move.update(tension=999) for move in c["moves"] if move["do"] == "pull"],
            "mains that change places": lambda c: [strand.update(holes=other["holes"]) for strand, other in
                                                   [(c["strands"][0], dict(c["strands"][1])), (c["strands"][1], dict(c["strands"][0]))]],
            "a hole left out of the count": lambda c: c["frame"]["holes"].pop(),
            "a total of clamps that is not so": lambda c: c["totals"]["clamps"].update(fixed=1),
            "a pull through the wrong holes": lambda c: next(move for move in c["moves"] if move["do"] == "pull").update(enter="L2T"),
            "an error told": lambda c: c["findings"].append({"code": "SV-301", "severity": "error", "title": "", "message": ""}),
        }
        if data["pattern"]["pieces"] == 1:
            changes["the long side on the other side"] = lambda c: c["intents"].update(
                long_side="left" if c["intents"]["long_side"] == "right" else "right")
        for what, change in changes.items():
            suite.check(f"the verifier sees {what} in {name}", changed(change))


def planarity(suite, found):
    """A ring with chords is planar exactly when its chords can be two-coloured so that none of a colour
    interleave (Tutte; Auslander and Parter): the lane assignment against networkx on generated rings,
    loops that share holes included."""
    import networkx
    random.seed(20261125)
    cases = []
    for number in range(1500):
        holes = random.randint(4, 26)
        count = random.randint(1, holes)
        near = random.random() < 0.5  # loops of a racket mostly join near holes
        chords = []
        for _ in range(count):
            a = random.randrange(holes)
            b = (a + random.randint(1, 5 if near else holes - 1)) % holes
            if a != b:
                chords.append((a, b))
        if chords:
            cases.append((holes, chords))
    text = "\n".join(f"{holes} 2 0 {len(chords)} " + " ".join(f"{a} {b}" for a, b in chords) for holes, chords in cases)
    driver = os.path.join(os.path.dirname(suite.selvage), "reference/lanes")
    lines = subprocess.run([driver], input=text.encode(), capture_output=True, check=True).stdout.decode().splitlines()
    suite.check("every ring was judged", len(lines) == len(cases) >= 1000, len(lines))

    def interleave(one, two):
        a, b = sorted(one)
        return len({*one, *two}) == 4 and (a < two[0] < b) != (a < two[1] < b)
    planar_count = agree = sound = shortest = 0
    for (holes, chords), line in zip(cases, lines):
        graph = networkx.cycle_graph(holes)
        graph.add_edges_from(chords)
        planar = networkx.check_planarity(graph)[0]
        # a chord drawn twice is one edge of the graph and two loops: they share both holes
        planar_count += planar
        agree += planar == (not line.startswith("no"))
        conflicts = networkx.Graph()
        conflicts.add_nodes_from(range(len(chords)))
        conflicts.add_edges_from((i, k) for i in range(len(chords)) for k in range(i) if interleave(chords[i], chords[k]))
        if planar:
            lanes = line.split()
            sound += all(lanes[i] != lanes[k] for i, k in conflicts.edges)
        else:
            shortest += int(line.split()[1]) == odd_girth(conflicts)
    suite.check(f"{len(cases)} rings: lanes where planar, none where not", agree == len(cases), agree)
    suite.check("both kinds of ring were tried", 200 < planar_count < len(cases) - 200, planar_count)
    suite.check("no two loops of a lane interleave", sound == planar_count, sound)
    suite.check("the finding names a shortest odd cycle", shortest == len(cases) - planar_count, shortest)


def odd_girth(graph):
    """Length of a shortest odd cycle, by breadth first over (node, parity)."""
    import networkx
    double = networkx.Graph()
    for a, b in graph.edges:
        double.add_edge((a, 0), (b, 1))
        double.add_edge((a, 1), (b, 0))
    lengths = []
    for node in graph.nodes:
        if (node, 0) in double and networkx.has_path(double, (node, 0), (node, 1)):
            lengths.append(networkx.shortest_path_length(double, (node, 0), (node, 1)))
    return min(lengths)


def guided_lanes(suite, found):
    """With guides: the same, with two more nodes joined to each other and to the loops they fix."""
    import networkx
    random.seed(7)
    cases = []
    for _ in range(400):
        holes = random.randint(6, 20)
        chords = [(a, (a + random.randint(1, 4)) % holes) for a in random.sample(range(holes), random.randint(2, holes // 2))]
        guides = {hole: random.randint(1, 2) for hole in random.sample(range(holes), random.randint(1, 2))}
        cases.append((holes, chords, guides))
    text = "\n".join(f"{holes} 2 {len(guides)} " + " ".join(f"{h} {lane}" for h, lane in guides.items()) +
                     f" {len(chords)} " + " ".join(f"{a} {b}" for a, b in chords) for holes, chords, guides in cases)
    driver = os.path.join(os.path.dirname(suite.selvage), "reference/lanes")
    lines = subprocess.run([driver], input=text.encode(), capture_output=True, check=True).stdout.decode().splitlines()
    agree = 0
    for (holes, chords, guides), line in zip(cases, lines):
        graph = networkx.Graph([("front", "back")])
        for i, (a, b) in enumerate(chords):
            graph.add_node(i)
            for hole in (a, b):  # the driver's loops pass nothing
                if hole in guides:
                    graph.add_edge(i, "back" if guides[hole] == 1 else "front")
            for k in range(i):
                low, high = sorted(chords[k])
                if len({*chords[i], *chords[k]}) == 4 and (low < a < high) != (low < b < high):
                    graph.add_edge(i, k)
        possible = networkx.is_bipartite(graph)
        good = possible == (not line.startswith("no"))
        if good and possible:
            lanes = line.split()
            good = all(lanes[i] == str(guides[hole]) for i, chord in enumerate(chords) for hole in chord if hole in guides)
        agree += good
    suite.check(f"{len(cases)} rings with guides agree with a bipartite graph", agree == len(cases), agree)


def trails(suite, found):
    """Euler (1736): holes as vertices, strands and loops as edges. A piece of string is a trail over its
    edges, so one piece needs at most two odd holes and two pieces at most four (Listing)."""
    import networkx
    for _, name, data in found:
        whole = networkx.MultiGraph()
        for piece in data["strings"]:
            graph = networkx.MultiGraph()
            for end in data["ends"]:
                if end["name"] in piece["ends"]:
                    graph.add_edges_from((step["enter"], step["leave"]) for step in end["route"])
            graph.add_edges_from((loop["from"], loop["to"]) for loop in data["loops"] if loop["end"] in piece["ends"])
            suite.check(f"{name}: a piece of string is one trail", networkx.has_eulerian_path(graph))
            whole.add_edges_from(graph.edges())
        odd = sum(degree % 2 for _, degree in whole.degree())
        suite.check(f"{name}: {odd} odd holes for {data['pattern']['pieces']} pieces",
                    odd <= 2 * data["pattern"]["pieces"])


def hangs_together(suite, found):
    """A weave hangs together exactly when the graph "lies over" is strongly connected (Gruenbaum and
    Shephard; Clapham 1980): networkx. Turning two neighbours alike is seen by verify.py, not by this."""
    import networkx
    for _, name, data in found:
        graph = networkx.DiGraph()
        graph.add_nodes_from(strand["id"] for strand in data["strands"])
        graph.add_edges_from((row["over"], row["main"] if row["over"] == row["cross"] else row["cross"])
                             for row in data["weave"])
        suite.check(f"{name} hangs together", networkx.is_strongly_connected(graph))


def outlines(suite, found):
    """Perimeter and area of each outline, and every hole on it at its arc, by mpmath's quadrature of the
    usual form with powers of sine and cosine."""
    import mpmath
    done = set()
    for _, name, data in found:
        outline, frame = data["frame"]["outline"], data["frame"]["name"]
        if frame in done or outline["kind"] != "superellipse":
            continue
        done.add(frame)
        a, b = outline["width"] / 2, outline["length"] / 2
        power, taper = 2 / outline["exponent"], outline["taper"]

        def point(t):
            s, c = mpmath.sin(t), mpmath.cos(t)
            y = b - b * mpmath.sign(c) * abs(c) ** power
            x = a * abs(s) ** power
            if y > b:
                x *= 1 - taper * ((y - b) / b) ** 2
            return x, y

        # fine chords, refined by Richardson's extrapolation
        def chords(steps):
            points = [point(mpmath.pi * i / steps) for i in range(steps + 1)]
            length = sum(mpmath.hypot(p[0] - q[0], p[1] - q[1]) for p, q in zip(points, points[1:]))
            area = sum((p[0] + q[0]) / 2 * (q[1] - p[1]) for p, q in zip(points, points[1:]))
            return 2 * length, 2 * area, points
        length, area, points = chords(6000)
        suite.check(f"perimeter of {frame}", abs(length - data["frame"]["perimeter"]) < 0.05,
                    f"{length} and {data['frame']['perimeter']}")
        suite.check(f"area of {frame}", abs(area - data["frame"]["area"]) < 1e-4 * area,
                    f"{area} and {data['frame']['area']}")
        walked, at = 0, []
        for p, q in zip(points, points[1:]):
            at.append((walked, p))
            walked += float(mpmath.hypot(p[0] - q[0], p[1] - q[1]))
        at.append((walked, points[-1]))
        for hole in data["frame"]["holes"]:
            arc = min(hole["arc"], data["frame"]["perimeter"] - hole["arc"])
            near = min(at, key=lambda entry: abs(entry[0] - arc))
            gap = math.hypot(float(near[1][0]) - abs(hole["x"]), float(near[1][1]) - hole["y"])
            suite.check(f"{frame} {hole['id']} within 0.1 mm", gap < abs(near[0] - arc) + 0.1, gap)
    suite.check("outlines were compared", len(done) >= 5, done)


def units(suite, found):
    """Tensions in lb, kg and N: the units program (its tables cite NIST SP 811)."""
    if not tool("units"):
        suite.skip("units", "the program is not installed")
        return

    def convert(value, have, want):
        out = subprocess.run(["units", "-t", "-o", "%.12g", f"{value} {have}", want], capture_output=True, text=True)
        return float(out.stdout)
    seen = set()
    for path, name, data in found:
        _, csv, _ = suite.run("steps", "--format", "csv", path, "-p", name)
        for row in csv.decode().splitlines()[1:]:
            cells = re.findall(r'("(?:[^"]|"")*"|[^,]*)(?:,|$)', row)
            lb, kg, newton = cells[10:13]
            if lb and (lb, kg, newton) not in seen:
                seen.add((lb, kg, newton))
                exact = convert(newton, "N", "lbf")
                suite.check(f"{newton} N is {lb} lb", abs(exact - float(lb)) < 0.0625, exact)
                exact = convert(newton, "N", "kgf")
                suite.check(f"{newton} N is {kg} kg", abs(exact - float(kg)) < 0.0105, exact)
    suite.check("tensions were compared", len(seen) > 8, len(seen))


def drawings(suite, found):
    """SVG 1.1 (W3C Recommendation, 16 August 2011) by its document type with xmllint; rendered by
    rsvg-convert to the size of A4 at 96 dpi (ISO 216: 210 x 297 mm), in colour and in grey."""
    with tempfile.TemporaryDirectory() as folder:
        for path, name, data in found:
            _, svg, _ = suite.run("draw", path, "-p", name)
            file = os.path.join(folder, name + ".svg")
            with open(file, "wb") as out:
                out.write(svg)
            structure(suite, name, data, svg)
            if tool("xmllint") and os.path.exists(DTD):
                done = subprocess.run(["xmllint", "--nonet", "--noout", "--dtdvalid", DTD, file], capture_output=True)
                suite.check(f"{name}.svg is valid SVG 1.1", done.returncode == 0, done.stderr.decode())
            else:
                suite.skip(f"{name}.svg against the document type", "xmllint or w3c-sgml-lib is not installed")
            if tool("rsvg-convert"):
                done = subprocess.run(["rsvg-convert", "-f", "png", file], capture_output=True)
                width, height = (int.from_bytes(done.stdout[at:at + 4], "big") for at in (16, 20))
                suite.check(f"{name}.svg renders as an A4 page", (width, height) == (794, 1123), (width, height))
                suite.check(f"{name}.svg is not blank", len(done.stdout) > 40000, len(done.stdout))


def structure(suite, name, data, svg):
    """Groups, ids and titles that other programs rely on; every id once; nothing from a network."""
    root = ElementTree.fromstring(svg)
    suite.check(f"{name}.svg has a title and a description", root.find(SVG + "title").text and root.find(SVG + "desc").text)
    ids = [element.get("id") for element in root.iter() if element.get("id")]
    suite.check(f"{name}.svg has every id once", len(set(ids)) == len(ids))
    for strand in data["strands"]:
        suite.check(f"{name}.svg draws {strand['id']}", "strand-" + strand["id"] in ids)
    for hole in data["frame"]["holes"]:
        suite.check(f"{name}.svg draws {hole['id']}", "hole-" + hole["id"] in ids)
    groups = {"hoop", "holes", "strands", "loops-front", "loops-back", "numbers", "legend", "title", "knots"}
    suite.check(f"{name}.svg has its groups", groups <= set(ids), groups - set(ids))
    text = svg.decode()
    links = re.findall(r"(?:https?:)?//[^\"' >]+", text)
    suite.check(f"{name}.svg asks nothing of a network", set(links) == {"http://www.w3.org/2000/svg"}, links)
    suite.check(f"{name}.svg has no script", "<script" not in text and "@import" not in text and "url(" not in text)
    # over and under: a strand is broken exactly where it lies beneath
    for strand in data["strands"]:
        group = next(e for e in root.iter() if e.get("id") == "strand-" + strand["id"])
        pieces = group.find(SVG + "path").get("d").count("M")
        beneath = sum(strand["id"] in (row["main"], row["cross"]) and row["over"] != strand["id"] for row in data["weave"])
        suite.check(f"{name}.svg breaks {strand['id']} {beneath} times", pieces == beneath + 1, pieces)


def colours(suite, found):
    """Graphics at 3 : 1 and text at 4.5 : 1 against the paper at least (WCAG 2.2, 1.4.11 and 1.4.3)."""
    def luminance(colour):
        parts = [int(colour[i:i + 2], 16) / 255 for i in (0, 2, 4)]
        parts = [c / 12.92 if c <= 0.03928 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]
        return 0.2126 * parts[0] + 0.7152 * parts[1] + 0.0722 * parts[2]

    def contrast(one, two):
        high, low = sorted((luminance(one), luminance(two)), reverse=True)
        return (high + 0.05) / (low + 0.05)
    suite.check("the formula gives the known figure for blue", abs(contrast("0072B2", "FFFFFF") - 5.185) < 0.001)
    _, svg, _ = suite.run("draw", "patterns/heron.slv", "-p", "heron-two")
    style = re.search(r"<style[^>]*>(.*?)</style>", svg.decode(), re.S).group(1)
    ends = re.findall(r"\.end-[^{]*\{stroke:#([0-9a-f]+)\}", style)
    suite.check("the ends have colours", len(ends) == 3, ends)
    for colour in ends:
        colour = colour if len(colour) == 6 else "".join(c * 2 for c in colour)
        suite.check(f"#{colour} on the paper", contrast(colour, "FFFFFF") >= 3, contrast(colour, "FFFFFF"))
    text = re.search(r"^text\{.*?fill:#([0-9a-f]+)", style, re.M).group(1)
    suite.check("text on the paper and on the hoop",
                min(contrast(text * 2, paper) for paper in ("FFFFFF", "ECEAE4")) >= 4.5)
    dashes = re.findall(r"\.(?:end-cross )?beads\{[^}]*stroke-dasharray:([^;}]+)", style)
    suite.check("the ends have dashes of their own", len(set(dashes)) == 2, dashes)


def orders(suite, found):
    """The order graph as dot lays it out: pulls run down the page in their order, a column for each end."""
    if not tool("dot"):
        suite.skip("order graphs", "dot is not installed")
        return
    for path, name, data in found:
        _, dot, _ = suite.run("order", path, "-p", name)
        done = subprocess.run(["dot", "-Tjson"], input=dot, capture_output=True)
        if not suite.check(f"dot lays {name} out", done.returncode == 0 and not done.stderr, done.stderr.decode()):
            continue
        graph = json.loads(done.stdout)
        nodes = {node["name"]: node for node in graph["objects"] if "pos" in node}
        pulls = [move for move in data["moves"] if move["do"] == "pull"]
        suite.check(f"{name}: a node for every pull", all(move["strand"] in nodes for move in pulls))
        place = {strand: tuple(map(float, node["pos"].split(","))) for strand, node in nodes.items()}
        heights = [place[move["strand"]][1] for move in pulls]
        suite.check(f"{name}: pulls run down the page", heights == sorted(heights, reverse=True) and
                    len(set(heights)) == len(heights))
        labels = [nodes[move["strand"]]["label"] for move in pulls]
        suite.check(f"{name}: pulls are numbered", [int(label.split(".")[0]) for label in labels] ==
                    list(range(1, len(pulls) + 1)))
        columns = {}
        for move in pulls:
            columns.setdefault(move["end"], []).append(place[move["strand"]][0])
        suite.check(f"{name}: an end keeps to its column", all(max(xs) - min(xs) < 80 for xs in columns.values()),
                    {end: (min(xs), max(xs)) for end, xs in columns.items()})


def trade(suite, found):
    """Facts of the trade without a published source (common practice), on the squash patterns."""
    named = {name: data for _, name, data in found}
    world = named["kestrel-world"]
    pulls = [(move["end"], move["strand"]) for move in world["moves"] if move["do"] == "pull"]
    order = [strand for _, strand in pulls]
    mains = order[:order.index("C2")]
    suite.check("around the world: six mains a side before the crosses (common practice)",
                sorted(mains) == sorted(f"{side}M{n}" for side in "LR" for n in range(1, 7)))
    suite.check("three strands on the first side, then never more than two ahead (common practice)",
                mains == "RM1 RM2 RM3 LM1 LM2 LM3 LM4 LM5 RM4 RM5 RM6 LM6".split())
    suite.check("one starting clamp suffices (common practice)", world["totals"]["clamps"]["starting"] == 1)
    suite.check("two fixed clamps suffice (common practice)", world["totals"]["clamps"]["fixed"] == 2)
    steps = {end["name"]: end["route"] for end in world["ends"]}
    main = {name: next(s for s in route if s["strand"][1:] == "M7") for name, route in steps.items()}
    suite.check("the long side's last main is woven from the throat to the head (common practice)",
                main["long"]["enter"] == "R7T" and main["long"]["leave"] == "R8H")
    suite.check("the short side's last main is woven from the head to the throat (common practice)",
                main["short"]["enter"] == "L8H" and main["short"]["leave"] == "L7T")
    suite.check("the long end ends with the first cross (common practice)", steps["long"][-1]["strand"] == "C1")
    suite.check("the short end ends with the crosses at the throat (common practice)",
                [s["strand"] for s in steps["short"][-3:]] == ["C16", "C17", "C18"])
    suite.check("the head is not strung last of all crosses: they run from the head but for the first (common practice)",
                [s for s in order if s[0] == "C" and s != "C1"] == [f"C{n}" for n in range(2, 19)])
    for name in ("kestrel-world", "kestrel-plain"):
        cut = named[name]["strings"][0]["cut"] / 1000
        suite.check(f"{name}: 9.3 to 10.2 m for a one-piece squash job, 14 x 18 (common practice)", 9.3 <= cut <= 10.2, cut)
    for name in ("dunlin-down", "otter-up"):
        cut = named[name]["strings"][0]["cut"] / 1000
        suite.check(f"{name}: about as much string (common practice)", 8.8 <= cut <= 11, cut)
    # set lengths (common practice, from memory): tennis 40 ft (12.19 m), badminton 33 ft (10.06 m)
    for name, most in (("heron-one", 12.192), ("heron-world", 12.192), ("swift-one", 10.0584)):
        cut = named[name]["strings"][0]["cut"] / 1000
        suite.check(f"{name} fits a set (common practice, from memory)", 0.75 * most < cut <= most, cut)
    for _, name, data in found:
        suite.check(f"{name}: two fixed clamps suffice (common practice)", data["totals"]["clamps"]["fixed"] <= 2)
        suite.check(f"{name}: no fixed clamp stands beside a cross being woven",
                    all(finding["code"] != "SV-511" for finding in data["findings"]))


def collection(suite, found):
    """What ships: at least ten patterns over at least six frames, of every kind that was promised."""
    sizes = {}
    for _, name, data in found:
        mains = sum(strand["kind"] == "main" for strand in data["strands"])
        sizes.setdefault((data["frame"].get("sport"), mains, len(data["strands"]) - mains), []).append(data)
    suite.check("ten patterns over six frames", len(found) >= 10 and len({d["frame"]["name"] for _, _, d in found}) >= 6)

    def pieces(key):
        return {data["pattern"]["pieces"] for data in sizes.get(key, [])}
    suite.check("squash 14 x 18 in one piece and two", pieces(("squash", 14, 18)) == {1, 2})
    suite.check("squash with another count", any(key[0] == "squash" and key[1:] != (14, 18) for key in sizes))
    suite.check("tennis 16 x 19 in one piece and two", pieces(("tennis", 16, 19)) == {1, 2})
    dense = sizes.get(("tennis", 18, 20), [])
    suite.check("tennis 18 x 20 with shared holes and two strings",
                any(any(len(hole["strands"]) == 2 for hole in data["frame"]["holes"]) and
                    len({piece["string"] for piece in data["strings"]}) == 2 for data in dense))
    shared = [data for key, row in sizes.items() if key[0] == "badminton" for data in row]
    suite.check("badminton with many shared holes in one piece and two",
                {data["pattern"]["pieces"] for data in shared} == {1, 2} and
                all(sum(len(hole["strands"]) == 2 for hole in data["frame"]["holes"]) >= 8 for data in shared))
    suite.check("an odd count of mains", any(key[1] % 2 for key in sizes))
    suite.check("fanned mains", any(data["frame"]["outline"]["kind"] == "stations" for _, _, data in found))


def run(suite):
    found = export_all(suite)
    for group in (exports, verifier_bites, planarity, guided_lanes, trails, hangs_together, outlines, units, drawings,
                  drawing.check, bedpicture.check, string.run, colours, mirror.check, work.check, compare.check, chart.check, orders, trade, collection,
                  play.check):
        group(suite, found)
