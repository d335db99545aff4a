"""What a drawing must keep apart, judged from the SVG alone with the strands' names from the export:
labels on the page and off each other, counts of pulls off the crossings, numbers of holes off the loops,
every loop at its own string, circles of holes off each other.

Texts are measured with the advance widths of DejaVu Sans 2.37, the widest of the families asked for."""
import math
import os
import re
import shutil
import tempfile
import xml.etree.ElementTree as ElementTree

from harness import ROOT, TESTS, patterns

SVG = "{http://www.w3.org/2000/svg}"
# From the blank to the tilde, in thousandths of the size.
WIDTHS = [
    318, 401, 460, 838, 636, 950, 780, 275, 390, 390, 500, 838, 318, 361, 318, 337, 636, 636, 636, 636, 636, 636, 636,
    636, 636, 636, 337, 337, 838, 838, 838, 531, 1000, 684, 686, 698, 770, 632, 575, 775, 752, 295, 295, 656, 557, 863,
    748, 787, 603, 787, 695, 635, 611, 732, 684, 989, 685, 611, 685, 390, 337, 390, 838, 500, 500, 613, 635, 550, 635,
    615, 352, 635, 634, 278, 278, 579, 278, 974, 634, 612, 635, 635, 411, 521, 392, 634, 592, 818, 592, 592, 525, 636,
    337, 636, 838]
BOLD = 1.117  # DejaVu Sans Bold: the widest of the digits, H and T against the plain ones
MIDDLE = {"number", "name", "count", "middle"}
CLEAR, LEAST_CLEAR = 2.6, 1.0  # mm of the racket from a count to a crossing


class Box:
    def __init__(self, what, left, top, right, bottom, kind=""):
        self.what, self.kind = what, kind
        self.left, self.top, self.right, self.bottom = left, top, right, bottom

    def meets(self, other):
        return (self.left < other.right and other.left < self.right and
                self.top < other.bottom and other.top < self.bottom)

    def holds(self, x, y):
        return self.left <= x <= self.right and self.top <= y <= self.bottom

    def distance(self, x, y):
        return math.hypot(max(self.left - x, 0, x - self.right), max(self.top - y, 0, y - self.bottom))


def text_length(text, size, bold):
    return sum(WIDTHS[ord(c) - 32] / 1000 if " " <= c <= "~" else 1 for c in text) * size * (BOLD if bold else 1)


def rect_box(element, what):
    x, y, width, height = (float(element.get(name)) for name in ("x", "y", "width", "height"))
    return Box(what, x, y, x + width, y + height)


def text_box(element, classes, sizes):
    text = element.text
    size = next(sizes[name] for name in reversed(classes) if name in sizes)
    width = text_length(text, size, "on-knot" in classes)
    x, y = float(element.get("x", 0)), float(element.get("y", 0))
    left = x - width / 2 if MIDDLE & set(classes) or element.get("text-anchor") == "middle" else x
    low = 0.24 if re.search(r"[gjpqy,;()\\|]", text) else 0.02
    box = Box(text, left, y - 0.76 * size, left + width, y + low * size)
    turned = element.get("transform")
    if turned:
        dx, dy, angle = map(float, re.match(r"translate\(([-\d.]+) ([-\d.]+)\) rotate\(([-\d.]+)\)", turned).groups())
        assert angle == -90
        box = Box(text, dx + box.top, dy - box.right, dx + box.bottom, dy - box.left)
    return box


def labels(root):
    """Every visible text with its box: that of its frame where a frame is drawn round it."""
    style = next(root.iter(SVG + "style")).text
    sizes = {name: float(size) for name, size in re.findall(r"^\.([\w-]+)\{font-size:([\d.]+)px\}", style, re.M)}
    found = []

    def walk(element, classes, group):
        classes = classes + (element.get("class") or "").split()
        group = element.get("id") or group
        if element.tag == SVG + "rect" and not {"paper", "tag"} & set(classes):
            frames.append(rect_box(element, "frame"))
        if element.tag == SVG + "text":
            box = text_box(element, classes, sizes)
            box.kind = group
            found.append(box)
        for child in element:
            walk(child, classes, group)
    frames = []
    walk(root, [], "")
    for box in found:
        middle = ((box.left + box.right) / 2, (box.top + box.bottom) / 2)
        for frame in frames:
            if frame.holds(*middle):
                box.left, box.top = min(box.left, frame.left), min(box.top, frame.top)
                box.right, box.bottom = max(box.right, frame.right), max(box.bottom, frame.bottom)
    return found


def paths(data):
    """Sub-paths as lists of points; a cubic gives its handles as well, marked by the letters."""
    result = []
    for letter, numbers in re.findall(r"([MLC])([^MLCZ]*)", data):
        values = list(map(float, re.findall(r"-?[\d.]+", numbers)))
        points = list(zip(values[::2], values[1::2]))
        if letter == "M":
            result.append([points[0]])
        elif letter == "L":
            result[-1] += points
        else:
            a, (b, c, d) = result[-1][-1], points
            for i in range(1, 25):
                t, s = i / 24, 1 - i / 24
                result[-1].append(tuple(s**3 * p + 3 * s * s * t * q + 3 * s * t * t * r + t**3 * e
                                        for p, q, r, e in zip(a, b, c, d)))
    return result


def group(root, name):
    return next(element for element in root.iter() if element.get("id") == name)


def strand_lines(root, data):
    lines = {}
    for strand in data["strands"]:
        points = paths(group(root, "strand-" + strand["id"]).find(SVG + "path").get("d"))
        lines[strand["id"]] = (points[0][0], points[-1][-1])
    return lines


def meet(one, two):
    (ax, ay), (bx, by) = one
    (px, py), (qx, qy) = two
    ux, uy, vx, vy = bx - ax, by - ay, qx - px, qy - py
    t = ((px - ax) * vy - (py - ay) * vx) / (ux * vy - uy * vx)
    return ax + t * ux, ay + t * uy


def label_faults(root, boxes):
    left, top, width, height = map(float, root.get("viewBox").split())
    edge = 2 * width / 210
    for box in boxes:
        if (box.left < left + edge or box.top < top + edge or box.right > left + width - edge or
                box.bottom > top + height - edge):
            yield f"{box.kind} {box.what[:30]} leaves the page"
    for i, box in enumerate(boxes):
        for other in boxes[:i]:
            if box.meets(other):
                yield f"{box.kind} {box.what[:30]} lies on {other.kind} {other.what[:30]}"


def caption_faults(boxes):
    at = {box.what: box for box in boxes if box.kind == "places"}
    if not {"left", "right", "head", "throat", "seen from the front"} <= set(at):
        yield f"captions are missing: {sorted(at)}"
    elif not (at["left"].right < 0 < at["right"].left and at["head"].bottom < 0 < at["throat"].top):
        yield "captions stand on the wrong side"


def count_faults(root, data, boxes):
    """A count keeps 2.6 mm from every crossing of its strand, unless there is no such room free in the
    middle third; 1 mm from any crossing in any case."""
    counts = {box.what: box for box in boxes if box.kind == "counts"}
    lines = strand_lines(root, data)
    crossings = {name: [] for name in lines}
    for row in data["weave"]:
        point = meet(lines[row["main"]], lines[row["cross"]])
        crossings[row["main"]].append(point)
        crossings[row["cross"]].append(point)
    everywhere = [point for points in crossings.values() for point in points]
    pulls = [move["strand"] for move in data["moves"] if move["do"] == "pull"]
    upright = {strand["id"] for strand in data["strands"] if strand["kind"] == "main"}
    if len(counts) != len(pulls):
        yield f"{len(counts)} counts for {len(pulls)} pulls"
    for number, strand in enumerate(pulls, 1):
        box = counts.get(str(number))
        if box is None:
            continue
        (ax, ay), (bx, by) = lines[strand]
        length = math.hypot(bx - ax, by - ay)
        x, y = (box.left + box.right) / 2, (box.top + box.bottom) / 2
        if abs((x - ax) * (by - ay) - (y - ay) * (bx - ax)) / length > 0.1:
            yield f"count {number} is not on {strand}"
        # on a slanting strand the box comes a little nearer than along the strand
        slant = max(abs(bx - ax), abs(by - ay)) / length
        near = min(box.distance(*point) for point in everywhere)
        if near < LEAST_CLEAR * slant - 0.05:
            yield f"count {number} is {near:.2f} mm from a crossing"
        if near >= CLEAR * slant - 0.05:
            continue
        take = box.bottom - box.top if strand in upright else box.right - box.left
        ways = sorted(math.hypot(px - ax, py - ay) for px, py in crossings[strand])
        for low, high in zip(ways, ways[1:]):
            at = (low + high) / 2
            if abs(at - length / 2) > length / 6 or high - low < take + 2 * CLEAR + 0.1:
                continue
            cx, cy = ax + (bx - ax) * at / length, ay + (by - ay) * at / length
            half, tall = (box.right - box.left) / 2 + 0.4, (box.bottom - box.top) / 2 + 0.4
            other = Box("", cx - half, cy - tall, cx + half, cy + tall)
            if not any(other.meets(taken) for taken in boxes if taken is not box):
                yield f"count {number} is {near:.2f} mm from a crossing and has room elsewhere"


def loop_faults(root, data, boxes, reach=0.03):
    """Numbers of holes stand clear of loops. A loop goes on in the wall with the string of its own end, that
    string as a strand of this end or to a knot; no two strings are at one place. `reach` allows for strands
    that are broken at their very end."""
    loops = [(element.get("class"), paths(element.findall(SVG + "path")[-1].get("d"))[0])
             for lane in ("loops-front", "loops-back") for element in group(root, lane)]
    unit = float(root.get("viewBox").split()[2]) / 210
    for box in boxes:
        if box.kind != "numbers":
            continue
        near = min(box.distance(*point) for _, points in loops for point in points)
        if near < 0.7 + 0.1 * unit:  # half the line, and a little paper
            yield f"number {box.what} at {box.left:.0f},{box.top:.0f} is {near:.2f} mm from the middle of a loop"

    def near(point, points, reach=0.03):
        return any(math.dist(point, other) < reach for other in points)
    ways = {}
    for element in group(root, "walls"):
        path = element if element.tag == SVG + "path" else element.findall(SVG + "path")[-1]
        kind = next(word for word in element.get("class").split() if word.startswith("end-"))
        ways.setdefault(kind, []).extend((points[0], points[-1]) for points in paths(path.get("d")))
    outside = [out for row in ways.values() for _, out in row]
    for i, point in enumerate(outside):
        if any(math.dist(point, other) < 1 for other in outside[:i]):
            yield f"two strings leave the wall at {point}"
    kinds = {}
    for strand in data["strands"]:
        kinds[strand["id"]] = group(root, "strand-" + strand["id"]).get("class").split()[1]
    lines = strand_lines(root, data)
    ends = {kind: [point for name in lines if kinds[name] == kind for point in lines[name]] for kind in ways}
    middles = [(float(circle.get("cx")), float(circle.get("cy")))
               for element in group(root, "holes") for circle in element.iter(SVG + "circle")]
    for kind, row in ways.items():
        for inside, _ in row:
            if not near(inside, ends[kind], reach) and min(math.dist(inside, middle) for middle in middles) > 2:
                yield f"the string of {kind} at {inside} goes on as no strand of it and to no knot"
        for point in ends[kind]:
            if not near(point, [inside for inside, _ in row], reach):
                yield f"a strand of {kind} does not go on into the wall at {point}"
    fold = group(root, "loop-fold")[-1].get("d")
    for kind, points in loops:
        for point in (points[0], points[-1]):
            row = [out for _, out in ways[kind]]
            if points == paths(fold)[0]:  # it is of two ends
                row = outside
            if not near(point, row):
                yield f"a loop of {kind} begins at {point}, where none of its strings is"


def line_faults(root, boxes):
    """No number or caption lies on the centre line or the sides of the shaft."""
    for element in root.iter(SVG + "path"):
        if element.get("class") not in ("axis", "shaft"):
            continue
        for points in paths(element.get("d")):
            for (ax, ay), (bx, by) in zip(points, points[1:]):
                for box in boxes:
                    if box.kind in ("numbers", "places") and any(
                            box.holds(ax + (bx - ax) * i / 400, ay + (by - ay) * i / 400) for i in range(401)):
                        yield f"the {element.get('class')} runs through {box.kind} {box.what}"


def circle_faults(root):
    circles = [tuple(float(circle.get(name)) for name in ("cx", "cy", "r"))
               for element in group(root, "holes") for circle in element.iter(SVG + "circle")]
    for i, (x, y, r) in enumerate(circles):
        for px, py, pr in circles[:i]:
            if math.hypot(x - px, y - py) < r + pr + 0.5:  # the lines of the circles
                yield f"circles at {x},{y} and {px},{py} touch"


def faults(svg, data):
    root = ElementTree.fromstring(svg)
    boxes = labels(root)
    return [*label_faults(root, boxes), *caption_faults(boxes), *count_faults(root, data, boxes),
            *loop_faults(root, data, boxes), *line_faults(root, boxes), *circle_faults(root)]


# A frame whose holes lie nearer than the circles of any racket, and one that is nearly as narrow as its
# captions.
DENSE = """use "shop.slv"
frame dense {
  sport badminton; inside 180 mm wide, 300 mm long; outline superellipse 2.2, taper 6 %; wall 9 mm
  holes head M1..M24 C1..C24; holes throat M1..M24 C48..C25; tie-off 23H, 24H, 23T, 24T
  tension 20..30 lb
}
pattern dense-one for dense {
  one piece, long side right; string fine-068; bench corner; tension 24 lb; crosses from head
  mains from head, M1..M24 on each side, pull 3 ahead then 2
  short tie 23T; long C1..C48, thread 1 ahead, tie 23T
}
"""
NARROW = (DENSE.replace("dense", "narrow").replace("180 mm", "100 mm").replace("300 mm", "380 mm")
          .replace("M24", "M5").replace("C1..C24", "C1..C6").replace("C48..C25", "C12..C7").replace("C48", "C12")
          .replace("23H, 24H, 23T, 24T", "4H, 5H, 4T, 5T").replace("23T", "4T"))
LONG = ["W" * 200, ("a title that goes on and on " * 8)[:200], "\u00c9" * 100, "m" * 60 + " " + "i" * 139]


def drawings(suite, path, names, cwd=ROOT):
    import json
    for name in names:
        _, svg, err = suite.run("draw", path, "-p", name, cwd=cwd)
        _, text, _ = suite.run("export", path, "-p", name, cwd=cwd)
        if suite.check(f"{name} is drawn", svg and text, err.decode()):
            yield name, svg, json.loads(text)


def files():
    good = os.path.join(TESTS, "golden", "good")
    for path in patterns():
        yield path, ROOT
    for path in sorted(name for name in os.listdir(good) if name.endswith(".slv")):
        yield path, good


def apart(suite, found):
    """Every shipped pattern and every good text of the golden files."""
    seen = 0
    for path, cwd in files():
        with open(os.path.join(cwd, path), encoding="utf-8") as file:
            names = re.findall(r"^pattern (\S+)", file.read(), re.M)
        for name, svg, data in drawings(suite, path, names, cwd):
            seen += 1
            wrong = faults(svg, data)
            suite.check(f"{name}.svg keeps its labels, loops and circles apart", not wrong, "\n".join(wrong[:20]))
    suite.check("drawings were looked at", seen >= len(found) + 2, seen)


def extremes(suite, found):
    """Titles of 200 bytes, holes nearer than circles, and a narrow frame."""
    with open(os.path.join(ROOT, "patterns/kestrel.slv"), encoding="utf-8") as file:
        kestrel = file.read()
    with tempfile.TemporaryDirectory() as folder:
        shutil.copy(os.path.join(ROOT, "patterns/shop.slv"), folder)
        texts = [("kestrel-world", re.sub(r'^((?:frame|pattern) \S+ )"[^"]*"', lambda m: f'{m.group(1)}"{title}"',
                                          kestrel, flags=re.M)) for title in LONG]
        texts += [("dense-one", DENSE), ("narrow-one", NARROW)]
        for number, (name, text) in enumerate(texts):
            with open(os.path.join(folder, f"{number}.slv"), "w", encoding="utf-8") as file:
                file.write(text)
            for _, svg, data in drawings(suite, f"{number}.slv", [name], folder):
                root = ElementTree.fromstring(svg)
                boxes = labels(root)
                # A frame so dense has no room beside its crossings
                wrong = [*label_faults(root, boxes), *caption_faults(boxes), *loop_faults(root, data, boxes, 8),
                         *circle_faults(root)]
                suite.check(f"extreme {number}, {name}.svg keeps what it draws apart", not wrong, "\n".join(wrong[:20]))
                if number < len(LONG):
                    shown = "".join("".join(box.what.split()) for box in boxes if box.kind == "title")
                    suite.check(f"extreme {number} shows the whole title twice",
                                shown.startswith("".join(LONG[number].split()) * 2), shown)


def bites(suite, found):
    """These checks find what is wrong: one thing at a time is changed in a sound drawing."""
    for _, svg, data in drawings(suite, "patterns/swift.slv", ["swift-two"]):
        text = svg.decode()

        def group_of(name):
            return re.search(rf'<g id="{name}".*?^</g>', text, re.M | re.S).group(0)

        def moved(name, number, dx, dy, group_name="text"):
            old = re.findall(rf"<{group_name}[^>]*>", group_of(name))[number]
            new = re.sub(r' (c?)x="([-\d.]+)"', lambda m: f' {m.group(1)}x="{float(m.group(2)) + dx:.2f}"', old)
            new = re.sub(r' (c?)y="([-\d.]+)"', lambda m: f' {m.group(1)}y="{float(m.group(2)) + dy:.2f}"', new)
            return text.replace(group_of(name), group_of(name).replace(old, new, 1))
        front = re.search(r'<g id="loop-right-3".*?</g>', text, re.S).group(0)
        changes = {
            "a title too wide": (text.replace(">Swift 88</text>", ">" + "Swift 88 " * 9 + "</text>"), "leaves the page"),
            "a number beside the page": (moved("numbers", 20, 60, 0), "leaves the page"),
            "a number on its neighbour": (moved("numbers", 20, 0, 8), "lies on"),
            "a number on the centre line": (moved("numbers", 0, -4, -1), "runs through"),
            "a number on a loop": (moved("numbers", 20, -4, 0), "from the middle of a loop"),
            "a name on a count": (moved("names", 3, 0, -94), "lies on"),
            "a caption on the wrong side": (text.replace(">left</text>", ">rest</text>").replace(
                ">right</text>", ">left</text>").replace(">rest</text>", ">right</text>"), "wrong side"),
            "a caption left out": (text.replace(">seen from the front</text>", "></text>".replace(">", "> ", 1)), "missing"),
            "a count on a crossing": (moved("counts", 3, 0, 4), "from a crossing"),
            "a count beside its strand": (moved("counts", 3, 3, 0), "is not on"),
            "a loop of another end": (text.replace(front, front.replace("end-right", "end-cross")), "none of its strings"),
            "a hole grown": (text.replace('r="2.6"', 'r="6"'), "touch"),
        }
        for what, (changed, fault) in changes.items():
            wrong = faults(changed, data)
            suite.check(f"the check of drawings sees {what}", changed != text and any(fault in one for one in wrong),
                        "\n".join(wrong[:20]))


def check(suite, found):
    apart(suite, found)
    extremes(suite, found)
    bites(suite, found)
