"""Rules of play: generated files just inside and just outside every limit, each limit with the document,
clause and edition it was read in; and every shipped bed measured once more. What no text was found for is
marked "from memory" or "unconfirmed"."""
import json
import math
import os
import random
import re
import tempfile

RANGES = {"squash": "20..28", "tennis": "50..60", "badminton": "18..28", "racquetball": "28..36"}

# Holes of one side, 0H and 0T beside them. With as many more at the head, less one, as at the throat, the last
# one at the head lies half way along the hoop: on an ellipse at its widest place. M0 is as long as the hoop.
HEAD, THROAT = "M0..M3 C1..C3", "M0..M3 C5 C4"
HOLES = 24  # all round, spread evenly


def text(sport, width, length, overall=None, outline="ellipse", extra="", strings="", string="", head=HEAD, throat=THROAT,
         mains=3, crosses=5):
    """A file with one frame and one pattern, strung in one piece with the centre main first."""
    line = f"overall {overall[0]} mm long, {overall[1]} mm wide" if overall else ""
    string = f"string {string}" if string else ""
    return f"""{strings}
frame made {{
  sport {sport}
  {line}
  inside {width:.9g} mm wide, {length:.9g} mm long
  outline {outline}
  holes head {head}
  holes throat {throat}
  {extra}
  tie-off {", ".join(f"{number}{place}" for place in "HT" for number in range(1, mains + 1))}
  tension {RANGES[sport]} lb
}}

pattern strung for made {{
  one piece
  {string}
  short M0 from head
  mains from head, M1..M{mains} on each side
  short tie {mains - 1}H
  long  C{crosses}..C1, tie {mains - 1}T
}}
"""


class Files:
    """Writes a file, checks it, gives back the codes of the rules of play it fires."""

    def __init__(self, suite, folder):
        self.suite, self.path = suite, os.path.join(folder, "made.slv")

    def codes(self, source, but=("SV-806",)):
        """Without SV-806, for holes spread evenly round the hoop stand closer at the sides."""
        with open(self.path, "w", encoding="utf-8") as file:
            file.write(source)
        status, out, err = self.suite.run("check", "--ignore", "all", "--error", "play", "--format", "json", self.path)
        self.suite.check("a made file is read", status in (0, 1) and err == b"", err)
        return [finding["code"] for finding in json.loads(out)["findings"] if finding["code"] not in but]

    def export(self):
        status, out, err = self.suite.run("export", self.path)
        self.suite.check("a made file is exported", status == 0, err)
        return json.loads(out)


def sizes(suite, files):
    """The racket as a whole. SI counts in tennis, not inches: 29.0 in are 736.6 mm, 12.5 in are 317.5 mm (arithmetic)."""
    rows = [
        # ITF Rules of Tennis, Appendix II (c); a copy without a date, from 2014 or later (that dating from memory)
        ("tennis", 737, 317, 0), ("tennis", 737.1, 317, 1), ("tennis", 737, 317.1, 1), ("tennis", 737, 317.4, 1),
        ("tennis", 736.6, 317.5, 1), ("tennis", 738, 318, 2),
        # WSF Rules of Squash, appendix on the racket, undated copy; as in the court specifications of May 2003
        ("squash", 686, 215, 0), ("squash", 686.1, 215, 1), ("squash", 686, 215.1, 1),
        # BWF Laws of Badminton 4.1, a federation's copy of the present Laws
        ("badminton", 680, 230, 0), ("badminton", 680.1, 230, 1), ("badminton", 680, 230.1, 1),
        # USA Racquetball, Rule 2.4 (b), present text: 22 in, which are 558.8 mm (NIST SP 811: an inch is 25.4 mm);
        # nothing is said of the width
        ("racquetball", 558.8, 400, 0), ("racquetball", 558.9, 400, 1), ("racquetball", 559, 260, 1),
    ]
    for sport, length, width, count in rows:
        codes = files.codes(text(sport, 190, 270, (length, width)))
        suite.check(f"{sport}: {length} x {width} mm breaks {count} limits", codes == ["SV-801"] * count, codes)
    suite.check("22 in of racquetball", files.codes(text("racquetball", 190, 270, (1, 1)).replace("1 mm long", "22 in long")
                                                    .replace("1 mm wide", "250 mm wide")) == [])
    for sport in RANGES:
        suite.check(f"{sport}: no size, no finding", files.codes(text(sport, 190, 270)) == [])


def beds(suite, files):
    """The strung area along and across, between entry points; a strand; the area."""
    rows = [
        # ITF Appendix II (b), (c), undated copy; 15.5 in are 393.7 mm, 11.5 in are 292.1 mm (arithmetic), SI counts
        ("tennis", 292, 394, []), ("tennis", 292.1, 394, ["SV-802"]), ("tennis", 292, 394.1, ["SV-802"]),
        ("tennis", 293, 395, ["SV-802", "SV-802"]),
        # BWF 4.2.2, a federation's copy: longer than 280 mm only where the throat is narrow
        ("badminton", 220, 280, []), ("badminton", 220.1, 280, ["SV-802"]), ("badminton", 220, 300, ["SV-803"]),
        # ... as it is where the bed ends in M0 alone
        ("badminton", 220, 280.1, []),
        ("badminton", 220, 331, ["SV-802", "SV-803"]),
        # WSF, appendix on the racket, undated copy: strings of 390 mm
        ("squash", 150, 390, []), ("squash", 150, 390.1, ["SV-805"]),
        # USA Racquetball says nothing of it
        ("racquetball", 300, 420, []),
    ]
    for sport, width, length, expected in rows:
        codes = files.codes(text(sport, width, length))
        suite.check(f"{sport}: a bed of {length} x {width} mm", codes == expected, codes)
    # WSF, appendix on the racket, undated copy: 500 cm2. A regular polygon of n corners on a circle has
    # (n/2) R^2 sin(2 pi/n) (from memory, and by the sum of its triangles).
    for area, expected in ((499.99, []), (500, []), (500.02, ["SV-804"]), (510, ["SV-804"])):
        radius = math.sqrt(area * 100 / (HOLES / 2 * math.sin(2 * math.pi / HOLES)))
        codes = files.codes(text("squash", 2 * radius, 2 * radius))
        suite.check(f"squash: {area} cm2", codes == expected, codes)
        made = files.export()["frame"]["bed"]["area"]
        suite.check(f"a regular polygon of {area} cm2 is one", abs(made - area * 100) < 0.02, made)


def throats(suite, files):
    """BWF 4.2.2, a federation's copy: up to 330 mm where the part in the throat is 35 mm wide at the most. The
    stations keep the throat at one width from 268 mm to 300 mm, so a hole on either side of 280 mm measures it."""
    for length, half, expected in ((330, 17.5, []), (330, 17.6, ["SV-803"]), (330.1, 17.5, ["SV-802"]), (320, 17.5, []),
                                   (320, 17.51, ["SV-803"]), (330.1, 20, ["SV-802", "SV-803"])):
        cap = math.pi / 2 * math.hypot(half, length - 300) / math.sqrt(2)  # about a quarter of an ellipse
        stations = f"stations 80 mm at 50 mm, 100 mm at 120 mm, 60 mm at 220 mm, {half} mm at 268 mm, {half} mm at 300 mm"
        tape = f"tape 0T at 0 mm, 1T at {cap + 8:.3f} mm, 2T at {cap + 16:.3f} mm, 3T at {cap + 26:.3f} mm"
        codes = files.codes(text("badminton", 200, length, outline=stations, extra=tape))
        suite.check(f"badminton: a bed of {length} mm, {2 * half} mm wide in the throat", codes == expected, codes)
        places = [(hole["x"], hole["y"]) for hole in files.export()["frame"]["holes"] if hole["place"] == "throat"]
        narrow = [y for x, y in places if abs(x - half) < 0.002]
        suite.check("the throat is measured on both sides of 280 mm", min(narrow) < 280 < max(narrow), places)


def widths(suite, files):
    """The width beyond 280 mm, as the finding tells it, by clipping the polygon of the exported holes."""
    for length in (290, 300, 310, 320, 329):
        files.codes(text("badminton", 200, length))
        data = files.export()
        used = [(hole["x"], hole["y"]) for hole in data["frame"]["holes"] if hole["strands"]]
        line, across = min(y for _, y in used) + 280, []
        for (ax, ay), (bx, by) in zip(used, used[1:] + used[:1]):
            across += [bx] if by > line else []
            across += [ax + (line - ay) / (by - ay) * (bx - ax)] if (ay > line) != (by > line) else []
        told = [float(re.search(r"is ([\d.]+) mm wide", row["message"]).group(1))
                for row in data["findings"] if row["code"] == "SV-803"]
        suite.check(f"a bed of {length} mm beyond 280 mm", len(told) == 1 and
                    abs(told[0] - (max(across) - min(across))) < 0.012, (told, across))


def curves(suite, files):
    """WSF, appendix on the racket, undated copy: the outside is curved to 50 mm at least. The head of an ellipse is
    curved to b^2/a (from memory), here 40 mm, and lies inside a frame as thick as the sizes say."""
    for width, expected in ((180, []), (179.9, ["SV-807"]), (181, []), (170, ["SV-807"])):
        codes = files.codes(text("squash", 160, 320, (680, width)))
        suite.check(f"squash: an outside {40 + (width - 160) / 2} mm round", codes == expected, codes)
    suite.check("squash: an outside that is not known", files.codes(text("squash", 150, 340)) == [])
    suite.check("tennis asks nothing of it", files.codes(text("tennis", 160, 320, (680, 170))) == [])


def materials(suite, files):
    """Squash: gut, nylon or a substitute, not metal: WSF, appendix on the racket, construction (f), read in a Portuguese
    text. Racquetball: Rule 2.4 (d) of an older text names gut, monofilament, nylon, graphite, plastic and metal.
    Tennis and badminton: no such clause was read."""
    rows = [("squash", "nylon", True, []), ("squash", "gut", True, []), ("squash", "steel", True, ["SV-808"]),
            ("squash", "metal", True, ["SV-808"]), ("squash", "nylon-on-steel-core", True, ["SV-808"]),
            ("squash", "silk", True, []), ("squash", "moonlight", False, []), ("racquetball", "steel", True, []),
            ("racquetball", "graphite", True, []), ("racquetball", "silk", True, ["SV-808"]),
            ("racquetball", "moonlight", False, []), ("tennis", "steel", None, []), ("badminton", "steel", None, [])]
    for sport, material, judged, expected in rows:
        codes = files.codes(text(sport, 190, 270, strings=f"string core {{ gauge 1.2 mm; material {material} }}", string="core"))
        suite.check(f"{material} in {sport}", codes == expected, codes)
        data = files.export()
        suite.check(f"{material} in {sport} is exported", data["strings"][0]["material"] == material)
        words = [key for key in ("judged", "not_judged") if "string material" in data["play"][key]]
        suite.check(f"{material} in {sport} is told as judged, or not",
                    words == {True: ["judged"], False: ["not_judged"], None: []}[judged], data["play"])


def thirds(data, kind):
    """Mean distances in the three thirds, on the middle line of the bed: as the page of SV-806 says."""
    holes = {hole["id"]: hole for hole in data["frame"]["holes"]}
    used = [hole["y"] for hole in holes.values() if hole["strands"]]
    middle = (min(used) + max(used)) / 2
    places = []
    for strand in data["strands"]:
        if strand["kind"] == kind:
            a, b = (holes[hole] for hole in strand["holes"])
            along, across = ("y", "x") if kind == "main" else ("x", "y")
            share = ((middle if kind == "main" else 0) - a[along]) / (b[along] - a[along])
            places.append(a[across] + share * (b[across] - a[across]))
    places.sort()
    third = (places[-1] - places[0]) / 3
    gaps = [[], [], []]
    for a, b in zip(places, places[1:]):
        gaps[min(2, int(((a + b) / 2 - places[0]) / third))].append(b - a)
    return [sum(row) / len(row) for row in gaps] if min(map(len, gaps)) >= 2 else None


def centres(suite, files):
    """ITF Appendix II (b), undated copy: not less dense in the centre than in any other area. It gives no number: the
    tenth is ours. Random tapes, judged by an export and by code that shares nothing with the compiler."""
    random.seed(806)
    fired = clear = 0
    for number in range(60):
        first, fifth, last = random.uniform(5, 17), random.uniform(55, 85), random.uniform(105, 125)
        side = random.uniform(170, 200)
        tape = ", ".join(f"{n}{place} at {at:.3f} mm" for place in "HT"
                         for n, at in ((2, first * 2), (5, fifth), (8, last), (11, side)))
        codes = files.codes(text("tennis", 240, 330, extra="tape " + tape, head="M0..M8 C1..C5", throat="M0..M8 C10..C6",
                                 mains=8, crosses=10), but=())
        data = files.export()
        means = [thirds(data, kind) for kind in ("main", "cross")]
        wider = [mean[1] / min(mean[0], mean[2]) for mean in means if mean]
        if any(abs(value - 1.1) < 1e-3 for value in wider):
            continue
        expected = ["SV-806"] * sum(value > 1.1 for value in wider)
        suite.check(f"the centre of bed {number}", codes == expected, (codes, wider))
        fired += len(expected)
        clear += len(wider) - len(expected)
    suite.check("dense and open centres were made", fired > 10 and clear > 10, (fired, clear))


def measured(suite, found):
    """Extent and area of every shipped bed, by coordinates of the holes that are used; and the lists of what was judged."""
    for _, name, data in found:
        used = [(hole["x"], hole["y"]) for hole in data["frame"]["holes"] if hole["strands"]]
        xs, ys = zip(*used)
        area = abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(used, used[1:] + used[:1]))) / 2
        bed = data["frame"]["bed"]
        suite.check(f"{name}: the bed's length, width and area", abs(bed["length"] - max(ys) + min(ys)) < 0.002 and
                    abs(bed["width"] - max(xs) + min(xs)) < 0.002 and abs(bed["area"] - area) < 1, bed)
        suite.check(f"{name}: the bed lies within the hoop", bed["area"] < data["frame"]["area"])
        play = data["play"]
        suite.check(f"{name}: what is judged and what is not are apart", not set(play["judged"]) & set(play["not_judged"]))
        suite.check(f"{name}: nothing is beyond the rules", play["beyond"] == [] and
                    not [row for row in data["findings"] if row["code"].startswith("SV-8")], play["beyond"])
        status, out, _ = suite.run("steps", _path(found, name), "-p", name)
        fact = re.search(r"^Rules of play +((?:.*\n)(?: {17}.*\n)*)", out.decode(), re.M)
        words = re.sub(r"\s+", " ", fact.group(1)) if fact else ""
        suite.check(f"{name}: the step list says the same", words.strip() == "; ".join(
            [", ".join([play["document"], play["edition"]] + ["for strings an older text"] * (play["sport"] == "racquetball"))] +
            [f"{head}: {', '.join(play[key])}" for head, key in (("judged", "judged"), ("not judged", "not_judged")) if play[key]]),
            words)
    without = [data for _, _, data in found if "overall" not in data["frame"]]
    suite.check("a racket of unknown size is told as such", without and all(
        {"overall size", "overall length"} & set(data["play"]["not_judged"]) for data in without))


def _path(found, name):
    return next(path for path, other, _ in found if other == name)


def told_to_each(suite, files):
    """A finding about a frame is printed once and stands in the export of each pattern on the frame, whether one or
    all are compiled."""
    source = text("squash", 220, 325)
    second = source[source.index("pattern strung"):].replace("pattern strung", "pattern other")
    with open(files.path, "w", encoding="utf-8") as file:
        file.write(source + "\n" + second)
    _, out, _ = suite.run("check", files.path)
    suite.check("told once for two patterns", out.count(b"[SV-804]") == 1, out.decode())
    with tempfile.TemporaryDirectory() as folder:
        suite.run("build", files.path, "-o", folder)
        exports = [os.path.join(base, name) for base, _, names in os.walk(folder) for name in names if name.endswith(".json")]
        suite.check("two patterns are built", len(exports) == 2, exports)
        for path in exports:
            with open(path, encoding="utf-8") as file:
                data = json.load(file)
            suite.check("each of them has the finding", [row["code"] for row in data["findings"]].count("SV-804") == 1 and
                        data["play"]["beyond"] == ["strung area"], data["findings"])
            with open(path[:-5] + ".steps.txt", encoding="utf-8") as file:
                suite.check("its step list says so", "beyond them: strung area" in " ".join(file.read().split()))


def check(suite, found):
    with tempfile.TemporaryDirectory() as folder:
        files = Files(suite, folder)
        for group in (sizes, beds, throats, widths, curves, materials, centres, told_to_each):
            group(suite, files)
    measured(suite, found)
