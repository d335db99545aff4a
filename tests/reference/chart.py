"""Charts and bench cards, judged from outside: their SVG by its document type, their text where poppler finds
it in the PDF, their type from the SVG's own transforms, their words by the export, their tiles by arithmetic.

Of a word poppler gives the box of its font, which is taller than any letter: what is looked at is that of its
capitals, a little larger than they are."""
import csv
import io
import json
import os
import re
import shutil
import subprocess
import tempfile
import xml.etree.ElementTree as ElementTree

from harness import ROOT, patterns, tool
from reference import drawing
from reference.drawing import Box

SVG = "{http://www.w3.org/2000/svg}"
XHTML = "{http://www.w3.org/1999/xhtml}"
DTD = "/usr/share/xml/w3c-sgml-lib/schema/dtd/REC-SVG11-20110816/svg11.dtd"
MM = 25.4 / 72
PAPERS = {"A2": (420, 594), "A3": (297, 420), "A4": (210, 297), "A5": (148, 210), "letter": (215.9, 279.4)}
# The smallest type, mm, and the smallest of a title.
LEAST = {"A2": (2.2, 8), "A3": (2.1, 4), "A4": (2.1, 4), "A5": (2.0, 4), "letter": (2.1, 4)}
CAUTIONS = ["Wear eye protection", "tension range printed on the frame", "maker's instructions come first"]
# 22 x 22 strands do not go on A5 in type that can be read.
TOO_DENSE_FOR_A5 = {"swift-one", "swift-two"}
# Lane and room of their steps do not go on A5.
HANDS_ELSEWHERE_ON_A5 = {"heron-two", "pike-two"}


# ---- what the SVG says ----

def moved(text):
    """(scale, x, y) of a transform made of translate, scale and a turn, which is passed over."""
    scale, x, y = 1.0, 0.0, 0.0
    for name, numbers in re.findall(r"(\w+)\(([^)]*)\)", text or ""):
        values = [float(number) for number in numbers.split()]
        if name == "translate":
            x, y = x + scale * values[0], y + scale * values[1]
        elif name == "scale":
            scale *= values[0]
    return scale, x, y


def type_sizes(root):
    """(text, size in mm, class) of every text, by the rules of the style sheet and the transforms above it."""
    style = next(root.iter(SVG + "style")).text
    rules = {(scope or "", name): float(size) for scope, name, size in
             re.findall(r"^(?:#([\w-]+) )?\.([\w-]+)\{font-size:([\d.]+)px", style, re.M)}
    found = []

    def walk(element, scale, scopes, classes):
        scale *= moved(element.get("transform"))[0]
        scopes = scopes + [element.get("id") or ""]
        classes = classes + (element.get("class") or "").split()
        if element.tag == SVG + "text":
            size = float(element.get("font-size", 0)) or next(
                rules[scope, name] for name in reversed(classes) for scope in reversed([""] + scopes)
                if (scope, name) in rules)
            found.append(("".join(element.itertext()), size * scale, classes[-1]))
        for child in element:
            walk(child, scale, scopes, classes)
    walk(root, 1, [], [])
    return found


def cells(root, paper, margin):
    """The rectangles that cards keep to, mm; of a single card the page without its margins."""
    edges = [Box("card", *(float(e.get(n)) for n in ("x", "y")), float(e.get("x")) + float(e.get("width")),
                 float(e.get("y")) + float(e.get("height"))) for e in root.iter(SVG + "rect")
             if e.get("class") == "card-edge"]
    width, height = page_size(root)
    return edges or [Box("page", margin, margin, width - margin, height - margin)]


def page_size(root):
    return tuple(float(root.get(name)[:-2]) for name in ("width", "height"))


# ---- what the PDF says ----

def words(pdf, page):
    """Every word with the box of its capitals, mm."""
    done = subprocess.run(["pdftotext", "-bbox", "-f", str(page), "-l", str(page), pdf, "-"], capture_output=True)
    found = []
    for word in ElementTree.fromstring(done.stdout).iter(XHTML + "word"):
        left, top, right, bottom = (float(word.get(name)) * MM for name in ("xMin", "yMin", "xMax", "yMax"))
        size = bottom - top
        found.append(Box("".join(word.itertext()), left, top + 0.17 * size, right, bottom - 0.2 * size))
    return found


def placing_faults(boxes, places):
    for box in boxes:
        if not any(place.left - 0.1 <= box.left and box.right <= place.right + 0.1 and
                   place.top - 0.1 <= box.top and box.bottom <= place.bottom + 0.1 for place in places):
            yield f"{box.what} at {box.left:.1f},{box.top:.1f} is in no card"
    for i, box in enumerate(boxes):
        for other in boxes[:i]:
            if box.meets(other) and box.what != other.what:
                yield f"{box.what} lies on {other.what} at {box.left:.1f},{box.top:.1f}"
            elif box.meets(other):
                yield f"{box.what} lies on another {other.what} at {box.left:.1f},{box.top:.1f}"


# ---- one document ----

def is_valid(suite, what, path):
    if not (tool("xmllint") and os.path.exists(DTD)):
        suite.skip(f"{what} against the document type", "xmllint or w3c-sgml-lib is not installed")
        return
    done = subprocess.run(["xmllint", "--nonet", "--noout", "--dtdvalid", DTD, path], capture_output=True)
    suite.check(f"{what} is valid SVG 1.1", done.returncode == 0, done.stderr.decode()[:2000])


def judge_svg(suite, what, path, paper):
    with open(path, "rb") as file:
        svg = file.read()
    root = ElementTree.fromstring(svg)
    is_valid(suite, what, path)
    ids = [element.get("id") for element in root.iter() if element.get("id")]
    suite.check(f"{what} has every id once", ids and len(set(ids)) == len(ids))
    width, height = page_size(root)
    suite.check(f"{what} is as large as its paper", sorted((width, height)) == sorted(PAPERS[paper]), (width, height))
    suite.check(f"{what} is measured in mm", root.get("viewBox") == f"0 0 {width:g} {height:g}", root.get("viewBox"))
    suite.check(f"{what} has a title and a description", root.find(SVG + "title").text and root.find(SVG + "desc").text)
    text = svg.decode()
    suite.check(f"{what} has no script and no network", "<script" not in text and "url(" not in text and
                "@import" not in text and set(re.findall(r"https?://[^\"' >]+", text)) == {"http://www.w3.org/2000/svg"})
    least, title = LEAST[paper]
    sizes = type_sizes(root)
    small = [(words, size) for words, size, _ in sizes if size < least - 0.005]
    suite.check(f"{what} has no type below {least} mm", sizes and not small, small[:10])
    titles = [size for _, size, name in sizes if name == "card-title"]
    suite.check(f"{what} has titles of {title} mm and more", titles and min(titles) >= title - 0.02, titles)
    return root


def judge_pdf(suite, what, path, paper, roots, margin):
    info = subprocess.run(["pdfinfo", "-f", "1", "-l", str(len(roots)), path], capture_output=True, text=True).stdout
    suite.check(f"{what} has a page a sheet", f"Pages:           {len(roots)}\n" in info, info)
    got = [tuple(map(float, pair)) for pair in re.findall(r"size:\s+([\d.]+) x ([\d.]+) pts", info)]
    wanted = [tuple(side / MM for side in page_size(root)) for root in roots]
    suite.check(f"{what} has pages of the paper", len(got) == len(wanted) and all(
        abs(a - b) < 0.01 for one, two in zip(got, wanted) for a, b in zip(one, two)), (got, wanted))
    fonts = subprocess.run(["pdffonts", path], capture_output=True, text=True).stdout.splitlines()[2:]
    suite.check(f"{what} has its fonts within", fonts and all(line.split()[-5] == "yes" for line in fonts), fonts)
    texts = []
    for number, root in enumerate(roots, 1):
        boxes = words(path, number)
        places = cells(root, paper, margin)
        line = [box for box in boxes if not any(
            place.holds((box.left + box.right) / 2, (box.top + box.bottom) / 2) for place in places)]
        suite.check(f"{what}, page {number}: what stands outside the cards is the number of the sheet",
                    " ".join(box.what for box in line) in ("", f"sheet {number} of {len(roots)}"),
                    [box.what for box in line])
        wrong = list(placing_faults([box for box in boxes if box not in line], places))
        suite.check(f"{what}, page {number}: text lies in its card and on no other", not wrong, "\n".join(wrong[:20]))
        texts.append(" ".join(box.what for box in boxes))
        for caution in CAUTIONS:
            suite.check(f"{what}, page {number}: every card says: {caution}",
                        texts[-1].count(caution.split()[-1]) >= len(places), texts[-1][-300:])
    return texts


def same_twice(suite, what, command, path):
    with open(path, "rb") as file:
        before = file.read()
    os.remove(path)
    suite.run(*command)
    with open(path, "rb") as file:
        suite.check(f"{what} is the same when written again", file.read() == before)


# ---- what a card tells ----

def texts_of(root, name):
    return ["".join(element.itertext()) for element in root.iter(SVG + "text") if element.get("class") == name]


def runs(pairs):
    """Holes and strands of "1H..6H", "M1..M6", one by one."""
    for holes, strands in pairs:
        first, _, last = holes.partition("..")
        start, stop, letter = int(first[:-1]), int((last or first)[:-1]), first[-1]
        begin, _, end = strands.partition("..")
        for i in range(stop - start + 1):
            if not end:
                yield f"{start}{letter}", strands
                continue
            number, far = int(begin[1:]), int(end[1:])
            yield f"{start + i}{letter}", f"{begin[0]}{number + (i if far > number else -i)}"


def hole_lists(root):
    """The labels of the hole lists, and all that is bold: strands of those lists, then those of the steps."""
    labels, strong, heading = [], [], ""
    for element in root.iter(SVG + "text"):
        text, name = "".join(element.itertext()), element.get("class")
        heading = text if name == "card-heading" else heading
        if name == "card-text" and heading.startswith("Holes"):
            labels.append(text)
        elif name == "card-strong":
            strong.append(text)
    return labels, strong


def tells(suite, name, root, data):
    """Holes, string to cut and the order of the strands, as the export has them."""
    labels, strong = hole_lists(root)
    mapped = dict(runs(zip(labels, strong)))
    wanted = {}
    for hole in data["frame"]["holes"]:
        if hole["side"] != "left":
            shown = "+".join(strand.lstrip("LR") for strand in hole["strands"]) or "unused"
            wanted[hole["id"].lstrip("LR")] = shown
    suite.check(f"{name}: the card maps every hole", mapped == wanted,
                sorted(set(mapped.items()) ^ set(wanted.items()))[:8])
    text = " ".join(texts_of(root, "card-text"))
    for piece in data["strings"]:
        suite.check(f"{name}: the card says what to cut", f"{piece['cut'] / 1000:.2f} m" in text, text[:400])
    adds_up(suite, name, root, data)
    pulls = [move["strand"].lstrip("LR") for move in data["moves"] if move["do"] == "pull"]
    counts = [int(words[:-1]) for words in texts_of(root, "card-text") if re.fullmatch(r"\d+\.", words)]
    suite.check(f"{name}: the card counts the pulls", counts == list(range(1, len(pulls) + 1)), counts)
    threads = [move["strand"].lstrip("LR") for move in data["moves"] if move["do"] in ("thread", "weave")]
    steps = strong[len(labels):]
    suite.check(f"{name}: every strand is threaded and pulled on the card",
                sorted(steps) == sorted(threads + pulls + [m["strand"].lstrip("LR") for m in data["moves"]
                                                           if m["do"] == "repull"]), steps[:12])


def told_on(card):
    """What a card tells of hands, what it says of where that stands, and its headings."""
    return ("".join("".join(texts_of(card, "card-note")).split()), texts_of(card, "card-elsewhere"),
            texts_of(card, "card-heading"))


def tells_hands(suite, what, card, hands, goes=True):
    """Lane and room stand below the steps, before all that the bench can do without; where they do not go in, the
    card says where to find them."""
    told, elsewhere, headings = told_on(card)
    if goes:
        suite.check(f"{what}: lane and room of every step are told", told == hands and not elsewhere, (told, hands))
        return
    spared = {"Time", "Assumed", "Notes"} & set(headings) or texts_of(card, "card-short")
    suite.check(f"{what}: it says where lane and room are told, and tells nothing less needed", not told and
                elsewhere == ["Lanes and room for loops: see the step list."] and not spared, (told, elsewhere, spared))


def step_columns(card):
    """Of every column of steps the left edge and the y of its lines; steps come last, but for the foot."""
    columns, inside = [], False
    for element in card.iter(SVG + "text"):
        name, text = element.get("class"), "".join(element.itertext())
        if name in ("card-elsewhere", "card-caution"):
            break
        if name == "card-head" and text == "#":
            columns.append((float(element.get("x")), []))
            inside = True
        elif inside and name in ("card-text", "card-strong", "card-note"):
            columns[-1][1].append(float(element.get("y")))
    return columns


def filled_evenly(suite, what, card):
    """The last column of steps is shorter than the others by a few lines, unless other things follow in it."""
    columns = step_columns(card)
    followed = any(e.get("class") == "card-heading" and abs(float(e.get("x")) - columns[-1][0]) < 4 and
                   float(e.get("y")) > min(columns[-1][1]) for e in card.iter(SVG + "text"))
    ends = [max(lines) for _, lines in columns]
    suite.check(f"{what}: columns of steps are filled evenly", followed or
                max(ends) - min(ends) < 9 * max(len(ends) - 1, 1), ends)


def adds_up(suite, name, root, data):
    """The ends of a piece are given in mm, so that they come to what is to be cut of it."""
    lines = texts_of(root, "card-text")
    for piece in data["strings"]:
        ends = {end["name"]: end["string"]["cut"] for end in data["ends"] if end["name"] in piece["ends"]}
        if len(ends) < 2:
            continue
        shown = {end: next((int(text[:-3]) for word, text in zip(lines, lines[1:])
                            if word == end and re.fullmatch(r"\d+ mm", text)), None) for end in ends}
        suite.check(f"{name}: the card gives the ends in mm", shown == {end: round(mm) for end, mm in ends.items()},
                    (shown, ends))
        suite.check(f"{name}: which add up", None not in shown.values() and
                    abs(sum(shown.values()) - piece["cut"]) <= len(ends) / 2 + 0.5, (shown, piece["cut"]))


# ---- sheets, charts, tiles ----

def hands_of(suite, path, name):
    """What the steps want of the hands, from the step list, without its spaces."""
    _, out, _ = suite.run("steps", path, "-p", name, "--format", "csv")
    return "".join("".join(row["note"] for row in csv.DictReader(io.StringIO(out.decode()))).split())


def sheet(suite, folder, path, name, paper, data):
    """A bench card, as SVG and as PDF."""
    svg, pdf = (os.path.join(folder, f"{name}-{paper}.{kind}") for kind in ("svg", "pdf"))
    command = ["sheet", path, "-p", name, "--paper", paper, "-o"]
    status, out, err = suite.run(*command, svg)
    what = f"the {paper} card of {name}"
    if paper == "A5" and name in TOO_DENSE_FOR_A5:
        suite.check(f"{what} is refused with a reason", status == 2 and b"larger paper" in err and
                    not os.path.exists(svg), err)
        return
    if not suite.check(f"{what} is written", status == 0 and out == b"" and os.path.exists(svg), err.decode()):
        return
    root = judge_svg(suite, what, svg, paper)
    tells(suite, what, root, data)
    tells_hands(suite, what, root, hands_of(suite, path, name), paper != "A5" or name not in HANDS_ELSEWHERE_ON_A5)
    filled_evenly(suite, what, root)
    same_twice(suite, what, [*command, svg], svg)
    if paper == "letter" or not able(suite):
        return
    status, out, err = suite.run(*command, pdf)
    suite.check(f"{what} is written as PDF", status == 0 and out == b"", err.decode())
    judge_pdf(suite, what, pdf, paper, [root], 6 if paper == "A5" else 10)
    if paper == "A5":
        same_twice(suite, what + " as PDF", [*command, pdf], pdf)


def able(suite):
    return all(tool(name) for name in ("pdfinfo", "pdffonts", "pdftotext")) and suite.prints_pdf


def chart(suite, folder, files, hands, paper, *more):
    """A chart of many patterns, whose steps want so much of the hands."""
    count = len(hands)
    svg, pdf = (os.path.join(folder, f"chart-{paper}.{kind}") for kind in ("svg", "pdf"))
    command = ["chart", *files, "--paper", paper, *more, "-o"]
    what = f"the {paper} chart" + "".join(" " + word for word in more)
    status, out, err = suite.run(*command, svg)
    suite.check(f"{what} is written", status == 0, err.decode())
    written = out.decode().split() or [svg]
    roots = [judge_svg(suite, f"{what}, {os.path.basename(name)}", name, paper) for name in written]
    cards = sum(element.get("class") == "card" for root in roots for element in root.iter())
    suite.check(f"{what} has a card for every pattern", cards == count, cards)
    scales = {moved(element.get("transform"))[0] for root in roots for element in root.iter()
              if element.get("class") == "card"}
    suite.check(f"{what} has type of one size", len(scales) == 1, scales)
    for root in roots:
        for card in (e for e in root.iter(SVG + "g") if e.get("class") == "card"):
            title = "".join(texts_of(card, "card-title") + [": "] + texts_of(card, "card-subtitle"))
            suite.check(f"{what}, {title}: lane and room are told", told_on(card)[0] in hands and
                        not told_on(card)[1], told_on(card))
            filled_evenly(suite, f"{what}, {title}", card)
    if not able(suite):
        return
    status, out, err = suite.run(*command, pdf)
    suite.check(f"{what} is written as PDF", status == 0 and out == b"", err.decode())
    judge_pdf(suite, what, pdf, paper, roots, 10)
    same_twice(suite, what + " as PDF", [*command, pdf], pdf)
    if "--landscape" in more:
        suite.check(f"{what} lies across", all(page_size(root)[0] > page_size(root)[1] for root in roots))


def tiles(suite, folder, paper, tile):
    """Tiles: what is left when they are cut covers the sheet, once; the marks are at its corners."""
    target = os.path.join(folder, f"tiles-{paper}-{tile}.svg")
    status, out, err = suite.run("chart", "patterns/kestrel.slv", "patterns/teal.slv", "--paper", paper, "--tile", tile,
                                 "-o", target)
    what = f"{paper} in tiles of {tile}"
    suite.check(f"{what}: written", status == 0, err.decode())
    sheets, names = {}, out.decode().split()
    for name in names:
        root = ElementTree.parse(name).getroot()
        is_valid(suite, os.path.basename(name), name)
        suite.check(f"{what}: a page of {tile}", sorted(page_size(root)) == sorted(PAPERS[tile]), page_size(root))
        label = "".join(next(e for e in root.iter(SVG + "text") if e.get("class") == "tile-label").itertext())
        number, row, column, columns, rows = map(int, re.fullmatch(
            r"sheet (\d+), row (\d+), column (\d+) of (\d+) x (\d+): cut along the marks", label).groups())
        window = root.find(SVG + "svg")
        x, y, width, height = (float(window.get(word)) for word in ("x", "y", "width", "height"))
        left, top, wide, tall = map(float, window.get("viewBox").split())
        paper_rect = next(e for e in window.iter(SVG + "rect") if e.get("class") == "paper")
        size = float(paper_rect.get("width")), float(paper_rect.get("height"))
        suite.check(f"{what}: {label}: at its own size", (width, height) == (wide, tall))
        suite.check(f"{what}: {label}: within what a printer reaches", x >= 10 and y >= 10 and
                    x + width <= page_size(root)[0] - 9.99 and y + height <= page_size(root)[1] - 9.99)
        written = next(e for e in root.iter(SVG + "text") if e.get("class") == "tile-label")
        at, long = (float(written.get("x")), float(written.get("y"))), len(label) * 2.6 * 0.65
        box = Box(label, at[0], at[1] - 2.6, at[0] + long, at[1] + 0.7)
        suite.check(f"{what}: {label}: the label lies beside the drawing, within what a printer reaches",
                    not box.meets(Box("drawing", x, y, x + width, y + height)) and box.left >= 10 and box.top >= 10 and
                    box.right <= page_size(root)[0] - 10 and box.bottom <= page_size(root)[1] - 10, box)
        marks = [e for e in root if e.get("class") == "tile-mark"]
        points = [tuple(map(float, re.findall(r"[\d.]+", e.get("d")))) for e in marks]
        level = {round(a[1] - y + top, 2) for a in points if a[1] == a[3]}
        upright = {round(a[0] - x + left, 2) for a in points if a[0] == a[2]}
        suite.check(f"{what}: {label}: four corners are marked", len(points) == 8 and len(level) == 2 and len(upright) == 2)
        sheets.setdefault(number, {"size": size, "grid": (columns, rows), "parts": {}})["parts"][row, column] = (
            min(upright), min(level), max(upright), max(level))
    for number, found in sheets.items():
        (width, height), (columns, rows) = found["size"], found["grid"]
        parts = found["parts"]
        suite.check(f"{what}, sheet {number}: every tile once", sorted(parts) == [
            (row, column) for row in range(1, rows + 1) for column in range(1, columns + 1)], sorted(parts))
        fits = all(parts[row, column][2] == (parts[row, column + 1][0] if column < columns else width) and
                   parts[row, column][3] == (parts[row + 1, column][1] if row < rows else height) and
                   (column > 1 or parts[row, column][0] == 0) and (row > 1 or parts[row, column][1] == 0)
                   for row, column in parts)
        suite.check(f"{what}, sheet {number}: what is left covers the sheet, edge to edge", fits, parts)
        parted = {(round(part[2] - part[0], 1), round(part[3] - part[1], 1)) for part in parts.values()}
        suite.check(f"{what}, sheet {number}: it is shared out evenly", len(parted) == 1, parted)
        tile_sides = [side - 30 for side in PAPERS[tile]]
        fewest = min(-(-width // a) * -(-height // b) for a, b in (tile_sides, tile_sides[::-1]))
        suite.check(f"{what}, sheet {number}: no fewer tiles would do", columns * rows == fewest, (columns, rows))


def notes_apart(suite, folder):
    """Where a card has several notes, or several tensions, each begins with a mark."""
    with open(os.path.join(ROOT, "patterns/kestrel.slv"), encoding="utf-8") as file:
        kestrel = file.read()
    said = ["the first of the notes, which goes on for so long that it is broken, wherever there is room for it",
            "the second", "the third of them"]
    path = os.path.join(folder, "noted.slv")
    with open(path, "w", encoding="utf-8") as file:
        file.write(re.sub(r"^(pattern kestrel-world [^{]*\{)", lambda m: m.group(1) + " " + "; ".join(
            f'note "{text}"' for text in said) + ";", kestrel, flags=re.M))
    shutil.copy(os.path.join(ROOT, "patterns/shop.slv"), folder)
    status, out, err = suite.run("sheet", path, "-p", "kestrel-world", "--paper", "A4")
    if not suite.check("a card with notes is written", status == 0, err.decode()):
        return
    root = ElementTree.fromstring(out)
    texts = [(float(e.get("x")), "".join(e.itertext())) for e in root.iter(SVG + "text")
             if e.get("class") == "card-text"]
    for text in said:
        at = next((i for i, (_, line) in enumerate(texts) if text.startswith(line) and len(line) > 8), None)
        suite.check(f"a mark stands before the note: {text}", at is not None and texts[at - 1][1] == "\u2022" and
                    texts[at - 1][0] < texts[at][0], at and texts[at - 1:at + 1])
    lines = [line for line in texts if line[1] in said[0] and len(line[1]) > 8]
    suite.check("what is broken goes on below its words", len(lines) > 1 and len({x for x, _ in lines}) == 1, lines)


def extremes(suite, folder):
    """Titles of 200 bytes, a frame nearly as narrow as its captions, and one too dense for A4 alone."""
    for path in ("patterns/shop.slv", "patterns/kestrel.slv"):
        shutil.copy(os.path.join(ROOT, path), folder)
    with open(os.path.join(ROOT, "patterns/kestrel.slv"), encoding="utf-8") as file:
        kestrel = file.read()
    texts = [("kestrel-world", re.sub(r'^((?:frame|pattern) \S+ )"[^"]*"', lambda m: f'{m.group(1)}"{title}"', kestrel,
                                      flags=re.M)) for title in drawing.LONG] + [("narrow-one", drawing.NARROW)]
    for number, (name, text) in enumerate(texts):
        path = os.path.join(folder, f"extreme{number}.slv")
        with open(path, "w", encoding="utf-8") as file:
            file.write(text)
        what, svg, pdf = f"extreme {number}, {name}", path[:-4] + ".svg", path[:-4] + ".pdf"
        status, _, err = suite.run("sheet", path, "-p", name, "-o", svg)
        if not suite.check(f"{what} has a card", status == 0, err.decode()):
            continue
        root = judge_svg(suite, what, svg, "A4")
        if number < len(drawing.LONG):
            shown = "".join("".join(texts_of(root, kind)) for kind in ("card-title", "card-subtitle"))
            suite.check(f"{what} shows its whole title twice", "".join(shown.split()) ==
                        "".join(drawing.LONG[number].split()) * 2, shown)
        if able(suite):
            suite.run("sheet", path, "-p", name, "-o", pdf)
            judge_pdf(suite, what, pdf, "A4", [root], 10)
    dense = os.path.join(folder, "dense.slv")
    with open(dense, "w", encoding="utf-8") as file:
        file.write(drawing.DENSE)
    status, out, err = suite.run("sheet", dense)
    suite.check("a frame too dense for A4 is named", status == 2 and out == b"" and
                b"dense.slv: pattern dense-one does not go on A4" in err and b"take larger paper" in err, err)
    left_out(suite, folder, dense)
    status, out, err = suite.run("chart", dense, "--paper", "A2")
    suite.check("it goes on A2", status == 0 and b'class="card"' in out, err)


def left_out(suite, folder, dense):
    """A chart is made without the patterns that are too dense for its paper, which are named."""
    mix = os.path.join(folder, "mix")
    os.mkdir(mix)
    for path in (dense, os.path.join(folder, "kestrel.slv"), os.path.join(folder, "shop.slv")):
        shutil.copy(path, mix)
    status, out, err = suite.run("chart", mix, "--paper", "A4", "-o", os.path.join(folder, "mix.svg"))
    names = out.decode().split()
    suite.check("a chart leaves out what is too dense, exit status 1", status == 1 and len(names) == 3, (status, out, err))
    suite.check("it names the file and the pattern, and no other", re.findall("^selvage: .*", err.decode(), re.M) == [
        f"selvage: {mix}/dense.slv: pattern dense-one does not go on A4 in type that can be read and is left out; "
        "take larger paper"], err)
    for name in names:
        judge_svg(suite, os.path.basename(name), name, "A4")
    status, out, err = suite.run("chart", dense, dense, "--paper", "A4")
    suite.check("a chart of nothing else is refused", status == 2 and out == b"" and
                err.count(b"dense-one does not go on A4") == 2, err)
    status, out, err = suite.run("chart", dense, os.path.join(folder, "kestrel.slv"), "-p", "dense-one", "--paper", "A4")
    suite.check("-p takes one file still", status == 2 and out == b"", err)


class Heard:
    """Takes what a check says in place of the suite."""
    def __init__(self):
        self.failed = []

    def check(self, what, passed, _=""):
        if not passed:
            self.failed.append(what)


def telling_bites(suite, text):
    """The checks of what a card tells see what is wrong with it."""
    hands = hands_of(suite, "patterns/kestrel.slv", "kestrel-world")
    _, data, _ = suite.run("export", "patterns/kestrel.slv", "-p", "kestrel-world")
    last = [float(y) for y in re.findall(r'class="card-head" x="[\d.]+" y="([\d.]+)" text-anchor="end">#<', text)][-1]
    for what, changed, wanted in (
            ("nothing in a sound card", text, None),
            ("a step without its lane", re.sub(r'<text class="card-note"[^>]*>loop in front, leave[^<]*</text>\n', "", text,
                                               count=1), "lane and room"),
            ("a column that is half empty", re.sub(r'(<text class="card-\w+" x="(?:4[3-9]|[5-9]\d|1\d\d)[\d.]*" y=")([\d.]+)',
             lambda m: f"{m.group(1)}{min(float(m.group(2)), last + 30):.2f}", text), "evenly"),
            ("ends that do not add up", text.replace(">6043 mm<", ">6053 mm<"), "add up")):
        heard, card = Heard(), ElementTree.fromstring(changed)
        tells_hands(heard, "card", card, hands)
        filled_evenly(heard, "card", card)
        adds_up(heard, "card", card, json.loads(data))
        suite.check(f"the checks of what is told see {what}", not heard.failed if wanted is None else
                    changed != text and any(wanted in one for one in heard.failed), heard.failed)


def bites(suite, folder):
    """These checks find what is wrong: one thing at a time is changed in a sound card."""
    if not able(suite):
        return
    svg = os.path.join(folder, "bites.svg")
    suite.run("sheet", "patterns/kestrel.slv", "-p", "kestrel-world", "-o", svg)
    with open(svg, encoding="utf-8") as file:
        text = file.read()

    def faults(changed):
        path, pdf = os.path.join(folder, "bad.svg"), os.path.join(folder, "bad.pdf")
        with open(path, "w", encoding="utf-8") as file:
            file.write(changed)
        subprocess.run(["rsvg-convert", "-f", "pdf", "-o", pdf, path], check=True, capture_output=True)
        return list(placing_faults(words(pdf, 1), cells(ElementTree.fromstring(changed), "A4", 10)))
    suite.check("the check of cards finds nothing in a sound one", not faults(text), faults(text)[:5])
    for what, changed, wanted in (
            ("a title too long", text.replace(">Kestrel 125</text>", ">" + "Kestrel 125 " * 6 + "</text>"), "in no card"),
            ("a step on another", re.sub(r'(class="card-strong" x="[\d.]+" y=")([\d.]+)(">C9<)', lambda m:
                                         f"{m.group(1)}{float(m.group(2)) - 1.6:.2f}{m.group(3)}", text), "lies on"),
            ("a card too large", re.sub(r'(class="card" transform="translate\(10 10\) scale\()', r"\g<1>1.1", text), "in no card")):
        found = faults(changed) if changed != text else []
        suite.check(f"the check of cards sees {what}", any(wanted in one for one in found), found[:5])
    telling_bites(suite, text)
    small = ElementTree.fromstring(text.replace(".card-text{font-size:2.3px}", ".card-text{font-size:1.9px}"))
    suite.check("the check of cards sees type too small", min(size for _, size, _ in type_sizes(small)) < 2.1)


def check(suite, found):
    if not able(suite):
        suite.skip("PDF of charts", "poppler-utils is not installed, or a leak checker runs")
    with tempfile.TemporaryDirectory() as folder:
        hands = {}
        for path, name, data in found:
            hands.setdefault(os.path.basename(path), []).append(hands_of(suite, path, name))
            for paper in ("A4", "A5", "letter"):
                sheet(suite, folder, path, name, paper, data)
        chart(suite, folder, patterns(), sum(hands.values(), []), "A2")
        chart(suite, folder, ["patterns"], sum(hands.values(), []), "A3")
        for names, paper, *more in ((["kestrel", "teal"], "A2", "--landscape"), (["kestrel"], "A2"), (["otter"], "A4"),
                                    (["heron"], "letter")):
            names = [name + ".slv" for name in names]
            chart(suite, folder, ["patterns/" + name for name in names], sum((hands[name] for name in names), []), paper,
                  *more)
        for paper, tile in (("A2", "A4"), ("A3", "A4"), ("A2", "letter"), ("A3", "letter")):
            tiles(suite, folder, paper, tile)
        notes_apart(suite, folder)
        extremes(suite, folder)
        bites(suite, folder)


