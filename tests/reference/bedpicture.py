"""What the picture of a bed must say, judged from the SVG with the figures of `bed --format json` and the places of
the export: every strand once, where it lies, the darker and the thicker the more tension it has, with its number;
the hoop where its displacements put it; plots through the figures of every pull; texts on the page, large enough,
off each other and off the hoop. Where strands are too near each other only those have numbers that the words name.
So do generated frames at the ends of what the language allows: as many strands as can be, narrow and wide hoops.

Relative luminance and contrast are those of WCAG 2.2; texts are measured as those of the drawing are."""
import copy
import json
import math
import os
import re
import subprocess
import tempfile
import xml.etree.ElementTree as ElementTree

from harness import tool
from reference.drawing import BOLD, SVG, text_length

DTD = "/usr/share/xml/w3c-sgml-lib/schema/dtd/REC-SVG11-20110816/svg11.dtd"
WIDTH, HEIGHT, LEAST_TYPE, MARGIN = 210, 297, 2.2, 5
NEWTON = {"lb": 4.4482216152605, "kg": 9.80665, "N": 1}
NUMBER = r"-?[\d.]+"


# ---- reading ----

def rules(root):
    """What the style says of each class: {class: {property: value}}."""
    style = next(root.iter(SVG + "style")).text
    return {name: dict(item.split(":", 1) for item in words.split(";"))
            for name, words in re.findall(r"^\.bed \.(bed-[\w]+)\{([^}]*)\}", style, re.M)}


def group(root, name):
    found = [element for element in root.iter() if element.get("id") == name]
    assert len(found) == 1, f"{name} is there {len(found)} times"
    return found[0]


def points(path):
    """Where a path goes, without the handles of its curves."""
    found = []
    for letter, words in re.findall(r"([MLC])([^MLCZ]*)", path.get("d")):
        numbers = list(map(float, re.findall(NUMBER, words)))
        found.append((numbers[-2], numbers[-1]))
    return found


def luminance(colour):
    channels = [int(colour[at:at + 2], 16) / 255 for at in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    return sum(weight * c for weight, c in zip((0.2126, 0.7152, 0.0722), linear))


def corners(element, style):
    """The corners of a text, from its baseline to the height of its letters; and its size."""
    classes = (element.get("class") or "").split()
    size = next((float(style[name]["font-size"][:-2]) for name in classes if "font-size" in style.get(name, {})), 2.3)
    bold = any("font-weight" in style.get(name, {}) for name in classes)
    width = text_length(element.text, size, False) * (BOLD if bold else 1)
    left = -width / 2 if "bed-middle" in classes else -width if "bed-end" in classes else 0
    x, y, angle = float(element.get("x", 0)), float(element.get("y", 0)), 0
    if element.get("transform"):
        x, y, angle = map(float, re.match(rf"translate\(({NUMBER}) ({NUMBER})\) rotate\(({NUMBER})\)",
                                          element.get("transform")).groups())
    turn = complex(math.cos(math.radians(angle)), math.sin(math.radians(angle)))
    return [complex(x, y) + turn * complex(left + dx, dy)
            for dx, dy in ((0, 0), (width, 0), (width, -0.73 * size), (0, -0.73 * size))], size


def apart(one, two):
    """Whether a line parallel to a side of one of two rectangles parts them."""
    for box in (one, two):
        for side in (box[1] - box[0], box[3] - box[0]):
            across = [[(corner * side.conjugate()).real for corner in each] for each in (one, two)]
            if max(across[0]) <= min(across[1]) or max(across[1]) <= min(across[0]):
                return True
    return False


# ---- judging ----

def text_faults(root, style):
    found = []
    texts = [(element.text, *corners(element, style)) for element in root.iter(SVG + "text")]
    for text, box, size in texts:
        if size < LEAST_TYPE:
            found.append(f"{text} is set in {size} mm")
        if not all(MARGIN <= at.real <= WIDTH - MARGIN and MARGIN <= at.imag <= HEIGHT - MARGIN for at in box):
            found.append(f"{text} leaves the page")
    for i, (text, box, _) in enumerate(texts):
        found += [f"{text} lies on {other}" for other, there, _ in texts[:i] if not apart(box, there)]
    for path in root.iter(SVG + "path"):
        if path.get("class") != "bed-hair":
            continue
        start, end = (complex(*at) for at in points(path))
        side = 0.05j * (end - start) / abs(end - start)
        line = [start + side, end + side, end - side, start - side]
        found += [f"a line crosses {text}" for text, box, _ in texts if not apart(box, line)]
    return found


def way_of(path):
    """A path as short straight lines, its curves too."""
    found = []
    for letter, words in re.findall(r"([MLC])([^MLCZ]*)", path.get("d")):
        numbers = [float(number) for number in re.findall(NUMBER, words)]
        to = [complex(*numbers[at:at + 2]) for at in range(0, len(numbers), 2)]
        if letter == "C":
            a, (b, c, d) = found[-1], to
            found += [a * (1 - t) ** 3 + 3 * b * t * (1 - t) ** 2 + 3 * c * t * t * (1 - t) + d * t ** 3
                      for t in (0.25, 0.5, 0.75, 1)]
        else:
            found += to
    return found


def hoop_faults(root, style):
    """Texts on the hoop of the bed, on a bar, or on one of the shapes and the mount."""
    found = []
    for panel, paths in (("bed", [path for path in group(root, "bed").findall(SVG + "path")] +
                          list(group(root, "strands").iter(SVG + "path"))),
                         ("shape", [path for g in group(root, "shape").findall(SVG + "g") for path in g.iter(SVG + "path")])):
        texts = [(text.text, corners(text, style)[0]) for text in group(root, panel).iter(SVG + "text")]
        for path in paths:
            way = way_of(path)
            for start, end in zip(way, way[1:]):
                if start == end:
                    continue
                side = 0.05j * (end - start) / abs(end - start)
                line = [start + side, end + side, end - side, start - side]
                found += [f"{text} lies on the hoop of the {panel}" for text, box in texts
                          if abs(box[0] - start) < 80 and not apart(box, line)]
    return found


def numbered(root, strands):
    """The strands that have numbers, by the words: all, or every so-manieth from the outermost."""
    words = " ".join(text.text for text in group(root, "bed").findall(SVG + "text"))
    every = {"main": 1, "cross": 1}
    for number, kind in re.findall(r"every (\d+)(?:st|nd|rd|th) (main|cross|strand)", words):
        every.update({each: int(number) for each in every if kind in (each, "strand")})
    found = []
    for kind in every:
        of = [strand for strand in strands if (strand["id"][0] == "C") == (kind == "cross")]
        found += [strand for i, strand in enumerate(of) if min(i, len(of) - 1 - i) % every[kind] == 0]
    return found


def view_of(root, data):
    """From mm of the racket to the page: by the first main and the last cross."""
    holes = {hole["id"]: (hole["x"], hole["y"]) for hole in data["frame"]["holes"]}
    ends = []
    for strand in data["strands"]:
        path = group(root, "strand-" + strand["id"]).find(SVG + "path")
        ends += zip((holes[hole] for hole in strand["holes"]), points(path))
    # what is drawn is rounded: the two ends that are farthest apart say most of the scale
    first, last = max(((a, b) for a in ends for b in ends), key=lambda pair: math.dist(pair[0][0], pair[1][0]))
    scale = math.dist(first[1], last[1]) / math.dist(first[0], last[0])
    x, y = first[1][0] - scale * first[0][0], first[1][1] - scale * first[0][1]
    return [f"an end of a strand is at {on} in place of {at}" for at, on in ends
            if math.hypot(x + scale * at[0] - on[0], y + scale * at[1] - on[1]) > 0.02]


def strand_faults(root, style, data, bed):
    """Bars by tension; a strand without any is a thin dashed line."""
    found = view_of(root, data)
    strands = group(root, "strands")
    if [g.get("id") for g in strands] != ["strand-" + s["id"] for s in bed["strands"]]:
        found.append("not every strand is there once")
    unit = re.search(r"tension in (\w+)", "".join(text.text + " " for text in root.iter(SVG + "text"))).group(1)
    limits = [float(text.text) for text in group(root, "classes").iter(SVG + "text")]
    numbers = [text.text for text in group(root, "tensions").iter(SVG + "text")]
    named = numbered(root, bed["strands"])
    if len(numbers) != len(named):
        found.append(f"{len(numbers)} numbers for {len(named)} strands")
    for strand, number in zip(named, numbers):
        tension = strand["off_machine"]["value"] / NEWTON[unit]
        half = 0.5 * 10 ** -len(number.partition(".")[2])
        if abs(tension - float(number)) > half + 0.001:
            found.append(f"{strand['id']} has {tension} and says {number}")
    names = [text.text for text in group(root, "names").iter(SVG + "text")]
    if names != [strand["id"].lstrip("LR") for strand in named]:
        found.append(f"names are {names}")
    drawn = []
    for strand in bed["strands"]:
        tension = strand["off_machine"]["value"] / NEWTON[unit]
        paths = group(root, "strand-" + strand["id"]).findall(SVG + "path")
        if tension <= 0:
            continue
        if [path.get("class").split("-")[1][0] for path in paths] != ["c", "c"] or points(paths[0]) != points(paths[1]):
            found.append(f"{strand['id']} is no bar in its casing")
        shade, width = paths[1].get("class"), float(paths[1].get("stroke-width"))
        drawn.append((tension, luminance(style[shade]["stroke"]), width, strand["id"]))
        inside = sum(limit <= tension + 1e-4 for limit in limits) - 1
        legend = group(root, "classes").findall(SVG + "path")[2 * min(inside, len(limits) - 2) + 1].get("class")
        near = min(abs(limit - tension) for limit in limits) < 0.002
        if legend != shade and not near:
            found.append(f"{strand['id']} with {tension} is drawn as {shade}, its class is {legend}")
    drawn.sort()
    for less, more in zip(drawn, drawn[1:]):
        if less[1] < more[1] or less[2] > more[2]:
            found.append(f"{more[3]} has more tension than {less[3]} and is not as dark or as thick")
    if drawn and not limits[0] - 1e-6 <= drawn[0][0] <= drawn[-1][0] <= limits[-1] + 1e-6:
        found.append("a tension is beyond the classes")
    shades = [luminance(style[f"bed-c{i}"]["stroke"]) for i in range(7)]
    if any((light + 0.05) / (dark + 0.05) < 1.15 for light, dark in zip(shades, shades[1:])):
        found.append(f"shades are too like each other: {shades}")
    if (1.05) / (luminance("#222222") + 0.05) < 3:
        found.append("the casing does not stand out from the paper")
    return found


def shape_faults(root, data, bed):
    """Each ring against the width and length of the moment it is of, through the factor that is named."""
    before, most, off = ([complex(*at) for at in points(group(root, "hoop-" + name).find(SVG + "path"))]
                         for name in ("before", "most", "off"))
    words = " ".join(text.text for text in group(root, "shape").iter(SVG + "text"))
    factor = float(re.search(r"drawn (\d+) times as large", words).group(1))
    step = int(re.search(r"most on the machine: step (\d+)", words).group(1))
    across, down = [at.real for at in before], [at.imag for at in before]
    left, right = across.index(min(across)), across.index(max(across))
    head, throat = down.index(min(down)), down.index(max(down))
    # where it is widest neighbours are as far out, to the decimals there are
    sides = [(a, b) for a in range(len(before)) for b in range(len(before))
             if across[a] < across[left] + 0.03 and across[b] > across[right] - 0.03 and abs(down[a] - down[b]) < 0.5]
    outline = data["frame"]["outline"]
    scale = (before[right] - before[left]).real / outline["width"]
    found = []
    if abs((before[throat] - before[head]).imag - scale * outline["length"]) > 0.05:
        found.append("the hoop is drawn out of proportion")
    if step != bed["peaks"]["moment"]["step"]:
        found.append(f"the hoop is bent most at step {bed['peaks']['moment']['step']}, not {step}")
    pull = [pull for pull in bed["pulls"] if pull["step"] == step and abs(abs(pull["moment"]) - bed["peaks"]["moment"]["value"]) < 1e-3]
    shapes = [("off the machine", off, bed["off_machine"]), ("bent most", most, pull[0])]
    crosses = [i for i, pull in enumerate(bed["pulls"]) if pull["strand"][0] == "C"]
    alone = bed["pulls"][crosses[0] - 1] if crosses and crosses[0] > 0 else None
    said = re.search(r"after the last main before the crosses, step (\d+)", words)
    if (alone is not None and alone["step"] != step) != (said is not None):
        found.append(f"the words of the mains alone are {said}, the state is {alone and alone['step']}")
    elif said:
        ring = [complex(*at) for at in points(group(root, "hoop-mains").find(SVG + "path"))]
        shapes.append(("the mains alone", ring, alone))
        if int(said.group(1)) != alone["step"]:
            found.append(f"the last main before the crosses is step {alone['step']}, not {said.group(1)}")
    for what, ring, state in shapes:
        moved = [(b - a) / (scale * factor) for a, b in zip(before, ring)]
        changes = {"width": [(moved[b] - moved[a]).real for a, b in sides], "length": [(moved[throat] - moved[head]).imag]}
        for name, drawn in changes.items():
            value = state[name]["value"] if isinstance(state[name], dict) else state[name]
            if min(abs(change - value) for change in drawn) > 0.02 / (scale * factor) + 0.001:
                found.append(f"{what}: {name} changes by {value} mm and is drawn as {drawn}")
    largest = max(abs(b - a) for _, ring, _ in shapes for a, b in zip(before, ring)) / (scale * outline["width"])
    if not 0.08 / 1.6 < largest < 0.08 * 1.6:
        found.append(f"the largest displacement is drawn as {largest} of the width")
    return found


def plot_faults(root, bed):
    """The curves through every pull and the state off the machine, by the numbers at the axes."""
    found = []
    axes = []  # each from its lowest number upwards
    for text in group(root, "plots").findall(SVG + "text"):
        if (text.get("class") or "") != "bed-end":
            continue
        value, y = float(text.text), float(text.get("y")) - 0.36 * 2.3
        if not axes or y > axes[-1][-1][1]:
            axes.append([])
        axes[-1].append((value, y))
    for name, axis in (("width", axes[0]), ("length", axes[0]), ("moment", axes[1])):
        (low, foot), (high, top) = axis[0], axis[-1]
        value = lambda y: low + (high - low) * (foot - y) / (foot - top)
        at = points(group(root, name).find(SVG + "path"))
        off = float(group(root, name).find(SVG + "circle").get("cy"))
        wanted = [0] + [abs(pull[name]) if name == "moment" else pull[name] for pull in bed["pulls"]]
        wanted.append(abs(bed["afterwards"][name]) if name == "moment" else bed["afterwards"][name])
        drawn = [value(y) for _, y in at] + [value(off)]
        if len(drawn) != len(wanted) or any(abs(a - b) > 0.01 * (high - low) for a, b in zip(drawn, wanted)):
            found.append(f"{name} is drawn as {drawn} in place of {wanted}")
        if sorted(at) != at:
            found.append(f"{name} goes back")
    peaks = len(group(root, "peaks").findall(SVG + "circle"))
    words = [text.text for text in group(root, "peaks").iter(SVG + "text")]
    if words != [f"most on the machine: step {bed['peaks']['moment']['step']}"]:
        found.append(f"the largest moment says {words}")
    if peaks != sum(pull["new_peak"] for pull in bed["pulls"]):
        found.append(f"{peaks} peaks are marked")
    return found


def faults(root, data, bed):
    style = rules(root)
    ids = [element.get("id") for element in root.iter() if element.get("id")]
    found = [] if len(ids) == len(set(ids)) else ["an id is there twice"]
    if not root.find(SVG + "title").text or not root.find(SVG + "desc").text:
        found.append("it has no title or no description")
    try:
        return (found + text_faults(root, style) + hoop_faults(root, style) + strand_faults(root, style, data, bed) +
                shape_faults(root, data, bed) + plot_faults(root, bed))
    except (AssertionError, IndexError, AttributeError, ValueError) as error:
        return found + [f"it cannot be read: {error!r}"]


# ---- the judge judged ----

def bites(suite, root, data, bed):
    """One thing changed at a time."""
    def change(what, act):
        changed = copy.deepcopy(root)
        act(changed)
        suite.check(f"the judge of pictures sees {what}", faults(changed, data, bed))

    def of(root, name, tag):
        return next(group(root, name).iter(SVG + tag))

    def move(path, by):
        path.set("d", re.sub(rf"^M({NUMBER})", lambda at: f"M{float(at.group(1)) + by}", path.get("d")))
    strand = "strand-" + bed["strands"][0]["id"]
    change("a strand left out", lambda r: group(r, "strands").remove(group(r, strand)))
    change("a wrong number", lambda r: setattr(of(r, "tensions", "text"), "text", "12.3"))
    change("a number off the page", lambda r: of(r, "tensions", "text").set("transform", "translate(2 100) rotate(0)"))
    change("a number on another", lambda r: of(r, "tensions", "text").set(
        "transform", group(r, "tensions").findall(SVG + "text")[1].get("transform")))
    change("a number on the hoop", lambda r: of(r, "tensions", "text").set(
        "transform", "translate({} {}) rotate(0)".format(*points(group(r, "bed").find(SVG + "path"))[0])))
    change("words on a shape", lambda r: next(t for t in group(r, "shape").iter(SVG + "text") if t.text == "off the machine").set(
        "x", str(min(points(of(r, "hoop-off", "path")))[0] - 5)))
    change("mains alone left out", lambda r: group(r, "shape").remove(group(r, "hoop-mains")))
    change("a wrong shade", lambda r: group(r, strand).findall(SVG + "path")[1].set("class", "bed-c0"))
    change("a strand elsewhere", lambda r: move(of(r, strand, "path"), 0.5))
    change("a hoop elsewhere", lambda r: of(r, "hoop-off", "path").set("d", of(r, "hoop-before", "path").get("d")))
    change("a curve elsewhere", lambda r: of(r, "width", "path").set("d", of(r, "length", "path").get("d")))
    change("a peak left out", lambda r: group(r, "peaks").remove(of(r, "peaks", "circle")))


# ---- the ends of what can be drawn ----

def extreme(width, length, mains, crosses):
    """A hoop with so many mains on each side and crosses, in one piece."""
    row = ", ".join(f"M{i}" for i in range(1, mains + 1))
    across = ", ".join(f"C{i}" for i in range(crosses, 0, -1))
    return (f"frame f {{\n  inside {width} mm wide, {length} mm long; outline ellipse; wall 11 mm\n"
            f"  holes head M1..M{mains} C1..C{crosses // 2}\n  holes throat M1..M{mains} C{crosses}..C{crosses // 2 + 1}\n"
            f"  tie-off {mains - 1}H, {mains}H, {mains - 1}T, {mains}T\n  tension 20..30 lb\n}}\n"
            f"pattern p for f {{\n  one piece, long side right; tension 25 lb; mains from head\n  long {row}\n"
            f"  short {row}, tie {mains - 1}T\n  long {across}, tie {mains}T\n}}\n")


EXTREMES = {"sixty mains and sixty crosses": (400, 500, 30, 60), "sixty mains on a small hoop": (250, 330, 30, 18),
            "sixty crosses on a small hoop": (250, 330, 8, 60), "the smallest hoop with most strands": (150, 150, 30, 60),
            "a narrow hoop": (100, 500, 8, 18), "a narrow hoop with most strands": (100, 500, 30, 60),
            "a wide hoop": (400, 150, 8, 18), "a wide hoop with most strands": (400, 150, 30, 60),
            "a round hoop": (400, 400, 12, 24), "few strands": (100, 150, 3, 4)}


def extremes(suite, folder):
    file = os.path.join(folder, "extreme.slv")
    for what, sizes in EXTREMES.items():
        with open(file, "w", encoding="utf-8") as out:
            out.write(extreme(*sizes))
        _, svg, err = suite.run("bed", file, "-p", "p", "--format", "svg")
        _, figures, _ = suite.run("bed", file, "-p", "p", "--format", "json")
        _, data, _ = suite.run("export", file, "-p", "p")
        if not svg:
            suite.check(f"the picture of {what} is drawn", False, err.decode())
            continue
        wrong = faults(ElementTree.fromstring(svg), json.loads(data), json.loads(figures))
        suite.check(f"the picture of {what} is right", not wrong, "\n".join(wrong[:20]))


def check(suite, found):
    with tempfile.TemporaryDirectory() as folder:
        extremes(suite, folder)
        for path, name, data in found:
            _, svg, err = suite.run("bed", path, "-p", name, "--format", "svg")
            _, figures, _ = suite.run("bed", path, "-p", name, "--format", "json")
            root, bed = ElementTree.fromstring(svg), json.loads(figures)
            wrong = faults(root, data, bed)
            suite.check(f"the picture of {name} is right", not wrong, "\n".join(wrong[:20]) + err.decode())
            links = re.findall(r"(?:https?:)?//[^\"' >]+", svg.decode())
            suite.check(f"the picture of {name} asks nothing of a network",
                        set(links) == {"http://www.w3.org/2000/svg"} and b"url(" not in svg, links)
            file = os.path.join(folder, name + ".svg")
            with open(file, "wb") as out:
                out.write(svg)
            if tool("xmllint") and os.path.exists(DTD):
                done = subprocess.run(["xmllint", "--nonet", "--noout", "--dtdvalid", DTD, file], capture_output=True)
                suite.check(f"the picture of {name} is valid SVG 1.1", done.returncode == 0, done.stderr.decode())
            else:
                suite.skip(f"the picture of {name} against the document type", "xmllint or w3c-sgml-lib is not installed")
            if tool("rsvg-convert"):
                done = subprocess.run(["rsvg-convert", "-f", "png", file], capture_output=True)
                size = tuple(int.from_bytes(done.stdout[at:at + 4], "big") for at in (16, 20))
                suite.check(f"the picture of {name} renders as an A4 page", size == (794, 1123), size)
            if name == "kestrel-world":
                bites(suite, root, data, bed)
