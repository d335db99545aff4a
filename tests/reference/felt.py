"""What a frame feels, worked out again from the export of a pattern: the stiffness of the whole ring by freedoms,
plain elimination, and one event of the job after another. It shares with the compiler the model (docs/bed.md) and no
code. Lengths in mm, forces in N.

* The stiffness of a beam in a plane, and how elements are put together: any book on frames, as Przemieniecki, Theory
  of Matrix Structural Analysis, chapters 5 and 6 (from memory).
* A strand, a support: springs that only draw, that only push, by Hooke's law.
* That all forces of a strung hoop which holds itself have no virial: Maxwell 1864 (from memory)."""
import json
import math
import os
import tempfile

from harness import ROOT
from reference.hoop import Oval

LONGEST, SAME = 8.0, 1.0  # of an element; nearer places are one node
GROUND = 0.001  # N/mm, shared among the nodes, so that the free ring stands still
TOUCH = 1e-7  # N
# What is assumed where a file does not say, and what it may be instead: docs/bed.md.
BENDING, AXIAL, THROAT, STRING, GAUGE, SUPPORT = {"tennis": 200e6}, 3e6, 2.0, 5000.0, 1.2, 2000.0
SIX = [(12, 1), (6, 1), (2, -1), (4, -1), (8, -1), (10, -1)]  # clock, 1 where it pushes from the inside
TWO = SIX[:2]
MATERIALS = {"polyester": 1.4, "silk": 1.2, "hmpe": 2.0, "aramid": 2.5, "natural-gut": 0.8, "gut": 0.8}
HOOPS, THROATS, STRINGS, SUPPORTS = (0.5, 1, 2), (1, 2, 4), (0.7, 1, 1.4, 2), (0.25, 1, 5)
MEASURED = (0.95, 1, 1.05)  # what was measured is right to within so much


def eliminate(rows):
    """Gauss without a change of rows, for what is symmetric and positive: each row is a dict of coefficients and the
    list of its right-hand sides. Gives the unknowns, a list for each row."""
    below = [[] for _ in rows]
    for i, (row, _) in enumerate(rows):
        for k in row:
            if k < i:
                below[k].append(i)
    for i, (row, right) in enumerate(rows):
        for k in sorted(set(below[i])):
            other, other_right = rows[k]
            factor = other.pop(i) / row[i]
            for column, value in row.items():
                if column > i:
                    if column not in other and column < k:
                        below[column].append(k)
                    other[column] = other.get(column, 0.0) - factor * value
            rows[k] = other, [b - factor * a for a, b in zip(right, other_right)]
    found = [None] * len(rows)
    for i in range(len(rows) - 1, -1, -1):
        row, right = rows[i]
        for column, value in row.items():
            if column > i:
                right = [a - value * b for a, b in zip(right, found[column])]
        found[i] = [a / row[i] for a in right]
    return found


def solve(matrix, right):
    """Gauss with the largest pivot of each column."""
    rows = [row + [b] for row, b in zip(matrix, right)]
    for i in range(len(rows)):
        largest = max(range(i, len(rows)), key=lambda k: abs(rows[k][i]))
        rows[i], rows[largest] = rows[largest], rows[i]
        for k in range(i + 1, len(rows)):
            factor = rows[k][i] / rows[i][i]
            if factor:
                rows[k] = [0.0] * (i + 1) + [b - factor * a for a, b in zip(rows[i][i + 1:], rows[k][i + 1:])]
    found = [0.0] * len(rows)
    for i in range(len(rows) - 1, -1, -1):
        found[i] = (rows[i][-1] - sum(a * b for a, b in zip(rows[i][i + 1:-1], found[i + 1:]))) / rows[i][i]
    return found


class Ring:
    """Nodes on the curve of the outline: where strands and supports are, at head, throat and the widest places."""

    def __init__(self, data, points):
        outline = data["frame"]["outline"]
        self.oval = Oval(outline["width"], outline["length"], outline.get("exponent", 2.0), outline.get("taper", 0.0))
        self.whole = 2 * self.oval.half
        widest = max(range(len(self.oval.points)), key=lambda i: self.oval.points[i][0])
        places = {("hole", hole["id"]): hole["arc"] for hole in data["frame"]["holes"]}
        places.update({"head": 0.0, "throat": self.oval.half, "right": self.oval.way[widest],
                       "left": self.whole - self.oval.way[widest]})
        places.update({("point", clock): self.at_clock(clock, outline["length"]) for clock, _ in points})
        self.lay(places)
        ends = [(self.of[("hole", strand["holes"][0])], self.of[("hole", strand["holes"][1])])
                for strand in data["strands"]]
        self.lines = ends + [(self.of["left"], self.of["right"]), (self.of["head"], self.of["throat"])]
        self.points = points
        last = max((i for i, strand in enumerate(data["strands"]) if strand["kind"] == "cross"),
                   key=lambda i: data["strands"][i]["index"])
        low, high = sorted(ends[last])
        self.throat = [low <= i < high for i in range(len(self.nodes))]

    def at_clock(self, clock, length):
        """Where a hand of a clock in the middle of the box meets the curve."""
        if clock in (12, 6):
            return 0.0 if clock == 12 else self.oval.half
        left = clock > 6
        angle = (12 - clock if left else clock) * math.pi / 6
        low, high = 0.0, self.oval.half
        for _ in range(60):
            middle = (low + high) / 2
            x, y = self.oval.at(middle)
            if math.atan2(x, length / 2 - y) < angle:
                low = middle
            else:
                high = middle
        return self.whole - low if left else low

    def lay(self, places):
        """Runs of places each within SAME of the one before are one node in the middle of the run."""
        order = sorted(places, key=lambda name: places[name])
        runs = [[order[0]]]
        for before, name in zip(order, order[1:]):
            if places[name] - places[before] < SAME:
                runs[-1].append(name)
            else:
                runs.append([name])
        wraps = len(runs) > 1 and places[order[0]] + self.whole - places[order[-1]] < SAME
        spans = [(places[run[0]], places[run[-1]]) for run in runs]
        if wraps:
            spans[0] = spans[-1][0] - self.whole, spans[0][1]
            runs[0] += runs.pop()
            spans.pop()
        arcs = [(low + high) / 2 for low, high in spans]
        self.of, self.arcs = {}, []
        for i, run in enumerate(runs):
            self.of.update(dict.fromkeys(run, len(self.arcs)))
            end = arcs[i + 1] if i + 1 < len(arcs) else arcs[0] + self.whole
            parts = math.ceil((end - arcs[i]) / LONGEST - 1e-9)
            self.arcs += [arcs[i] + (end - arcs[i]) * k / parts for k in range(parts)]
        self.nodes = [self.oval.at(arc) for arc in self.arcs]

    def direction(self, load):
        """A load of 1 N as [(freedom, force)]: a line draws its ends together, a support pushes."""
        if load < len(self.lines):
            a, b = self.lines[load]
            (ax, ay), (bx, by) = self.nodes[a], self.nodes[b]
            length = math.hypot(bx - ax, by - ay)
            x, y = (bx - ax) / length, (by - ay) / length
            return [(3 * a, x), (3 * a + 1, y), (3 * b, -x), (3 * b + 1, -y)]
        clock, sense = self.points[load - len(self.lines)]
        node = self.of[("point", clock)]
        place = self.at_clock(clock, self.oval.points[-1][1])
        (ax, ay), (bx, by) = self.oval.at(place - 0.05), self.oval.at(place + 0.05)
        length = math.hypot(bx - ax, by - ay)
        return [(3 * node, sense * (by - ay) / length), (3 * node + 1, -sense * (bx - ax) / length)]

    def length(self, load):
        a, b = self.lines[load]
        return math.dist(self.nodes[a], self.nodes[b])

    def element(self, i, bending, axial):
        """Stiffness between the six freedoms of an element."""
        (ax, ay), (bx, by) = self.nodes[i], self.nodes[(i + 1) % len(self.nodes)]
        length = math.hypot(bx - ax, by - ay)
        c, s = (bx - ax) / length, (by - ay) / length
        e, f = axial / length, bending / length ** 3
        own = [[e, 0, 0, -e, 0, 0],
               [0, 12 * f, 6 * f * length, 0, -12 * f, 6 * f * length],
               [0, 6 * f * length, 4 * f * length ** 2, 0, -6 * f * length, 2 * f * length ** 2],
               [-e, 0, 0, e, 0, 0],
               [0, -12 * f, -6 * f * length, 0, 12 * f, -6 * f * length],
               [0, 6 * f * length, 2 * f * length ** 2, 0, -6 * f * length, 4 * f * length ** 2]]
        turn = [[0.0] * 6 for _ in range(6)]
        for k in (0, 3):
            turn[k][k], turn[k][k + 1], turn[k + 1][k], turn[k + 1][k + 1], turn[k + 2][k + 2] = c, s, -s, c, 1
        half = [[sum(own[r][k] * turn[k][q] for k in range(6)) for q in range(6)] for r in range(6)]
        return half, [[sum(turn[k][r] * half[k][q] for k in range(6)) for q in range(6)] for r in range(6)]

    def freedoms(self, i):
        return [(3 * i + k) % (3 * len(self.nodes)) for k in range(6)]


class Hoop:
    """How a ring of given stiffness gives way: `ways` by two loads, moments and axial forces by element and load."""

    def __init__(self, ring, bending, axial, throat, loads=None):
        self.ring = ring
        loads = list(range(len(ring.lines) + len(ring.points))) if loads is None else loads
        size = 3 * len(ring.nodes)
        rows = [({i: GROUND / len(ring.nodes)}, [0.0] * len(loads)) for i in range(size)]
        own = []
        for i in range(len(ring.nodes)):
            factor = throat if ring.throat[i] else 1
            half, whole = ring.element(i, bending * factor, axial * factor)
            own.append(half)
            at = ring.freedoms(i)
            for r in range(6):
                for q in range(6):
                    row = rows[at[r]][0]
                    row[at[q]] = row.get(at[q], 0.0) + whole[r][q]
        directions = [ring.direction(load) for load in loads]
        for k, direction in enumerate(directions):
            for freedom, force in direction:
                rows[freedom][1][k] += force
        moved = eliminate(rows)
        self.ways = [[sum(force * moved[freedom][k] for freedom, force in direction) for k in range(len(loads))]
                     for direction in directions]
        self.moments, self.axial = [], []
        for i, half in enumerate(own):
            at = ring.freedoms(i)
            self.moments.append([sum(half[2][r] * moved[at[r]][k] for r in range(6)) for k in range(len(loads))])
            self.axial.append([sum(half[3][r] * moved[at[r]][k] for r in range(6)) for k in range(len(loads))])


def squeezed(ring, bending, throat):
    """What the bare hoop takes to be a mm narrower, and shorter."""
    first = len(ring.lines) - 2
    ways = Hoop(ring, bending, AXIAL, throat, [first, first + 1]).ways
    return 1 / ways[0][0], 1 / ways[1][1]


def secant(function, a, b, close):
    """Where a function is nought."""
    at_a, at_b = function(a), function(b)
    for _ in range(40):
        if abs(at_b) < close or at_a == at_b:
            break
        a, at_a, b = b, at_b, b - at_b * (b - a) / (at_b - at_a)
        at_b = function(b)
    return b


def fit(ring, wide, throat):
    """E I of the hoop that takes so much at its widest. What gives way is nearly in proportion to 1 / E I."""
    return 1 / secant(lambda slack: 1 / squeezed(ring, 1 / slack, throat)[0] - 1 / wide, 1 / 70e6, 1 / 90e6, 1e-12 / wide)


def stiffness(data):
    """E I and the throat's factor; whether each is known."""
    frame, squeeze = data["frame"], data["frame"].get("squeeze")
    if squeeze is None:
        return BENDING.get(frame.get("sport"), 70e6), THROAT, False, False
    bare = Ring(data, [])
    if "long" not in squeeze:
        return fit(bare, squeeze["wide"], THROAT), THROAT, True, False
    def too_stiff(throat):
        return squeezed(bare, fit(bare, squeeze["wide"], throat), throat)[1] - squeeze["long"]
    throat = secant(too_stiff, 1.5, 2.5, 1e-7 * squeeze["long"])
    return fit(bare, squeeze["wide"], throat), throat, True, True


def string_axial(piece):
    if "stiffness" in piece:
        return piece["stiffness"]
    return STRING * (piece["gauge"] / GAUGE) ** 2 * MATERIALS.get(piece.get("material"), 1)


class Job:
    """The moves of an export as pulls and draw-backs, E A by strand, and the mount."""

    def __init__(self, data):
        self.data = data
        self.names = [strand["id"] for strand in data["strands"]]
        number = {name: i for i, name in enumerate(self.names)}
        bench = data["bench"]
        back = bench.get("draw_back", 0)
        self.events = []
        for move in data["moves"]:
            if move["do"] in ("pull", "repull"):
                self.events.append((number[move["strand"]], move["tension"], True))
            elif move["do"] == "clamp" and not move.get("anchor") and back > 0:
                self.events.append((number[move["strand"]], back, False))
        of_end = {end: piece for piece in data["strings"] for end in piece["ends"]}
        by_strand = {step["strand"]: string_axial(of_end[end["name"]]) for end in data["ends"] for step in end["route"]}
        self.axial = [by_strand[name] for name in self.names]
        given = bench.get("mount_points")
        self.points = [(p["clock"], 1 if p["from"] == "inside" else -1) for p in given] if given else SIX
        self.support = bench.get("mount_stiffness", SUPPORT)
        self.known_points, self.known_support = given is not None, "mount_stiffness" in bench
        self.known_string = all("stiffness" in piece for piece in data["strings"])

    def do(self, hoop, string=1.0, support=1.0, points=None):
        """After every event, and off the machine: tensions, forces of the supports, width, length, largest moment."""
        ring, ways = hoop.ring, hoop.ways
        strands, first = len(self.names), len(ring.lines)
        springs = [string * ea / ring.length(i) for i, ea in enumerate(self.axial)]
        bearings = [first + ring.points.index(point) for point in (self.points if points is None else points)]
        stiff = {i: springs[i] for i in range(strands)} | dict.fromkeys(bearings, self.support * support)
        tight, works, rows = {}, set(bearings), []

        def forces(pulled, tension):
            """Hooke's law of all that works: its force / stiffness is what it is tightened by less what gives way."""
            order = sorted(works - {pulled})
            given = [tension * ways[i][pulled] if pulled is not None else 0.0 for i in range(len(ways))]
            matrix = [[ways[i][k] + (1 / stiff[i] if i == k else 0) for k in order] for i in order]
            found = dict(zip(order, solve(matrix, [tight.get(i, 0.0) - given[i] for i in order])))
            if pulled is not None:
                found[pulled] = tension
            return found

        def gives(i, found):
            return sum(ways[i][k] * force for k, force in found.items())

        def settle(pulled, tension, all_there):
            for turn in range(200):
                found = forces(pulled, tension)
                wrong = [i for i in all_there if i != pulled and
                         (found[i] < -TOUCH if i in works else stiff[i] * (tight.get(i, 0.0) - gives(i, found)) > TOUCH)]
                if not wrong:
                    return found
                for i in wrong[:1] if turn > 20 else wrong:
                    works.symmetric_difference_update({i})
            raise AssertionError("does not settle")

        def see(found):
            moments = [abs(sum(row[k] * force for k, force in found.items())) for row in hoop.moments]
            rows.append(([found.get(i, 0.0) for i in range(strands)], [found.get(i, 0.0) for i in bearings],
                         -gives(strands, found), -gives(strands + 1, found), max(moments)))
            return found

        for strand, amount, pull in self.events:
            if not pull:
                tight[strand] -= amount
            else:
                tight.pop(strand, None)
                works.discard(strand)
            there = set(tight) | set(bearings)
            found = see(settle(strand if pull else None, amount if pull else 0.0, there))
            if pull:
                tight[strand] = amount / springs[strand] + gives(strand, found)
                works.add(strand)
        works.difference_update(bearings)
        found = see(settle(None, 0.0, set(tight)))
        virial = sum(found.get(i, 0.0) * ring.length(i) for i in range(strands))
        hoop_virial = sum(sum(row[k] * force for k, force in found.items()) * math.dist(ring.nodes[i], ring.nodes[(i + 1) % len(ring.nodes)])
                          for i, row in enumerate(hoop.axial))
        assert abs(virial + hoop_virial) < 1e-6 * virial, (virial, hoop_virial)  # Maxwell
        return rows


def figures(job, rows):
    """The rows of a comparison, from the states of one job."""
    kinds = [strand["kind"] for strand in job.data["strands"]]
    off, on = rows[-1], rows[:-1]
    found = {}
    for kind, name in (("main", "mains"), ("cross", "crosses")):
        tensions = [tension for tension, of in zip(off[0], kinds) if of == kind]
        mean = sum(tensions) / len(tensions)
        found[f"{name}_mean"] = mean
        found[f"{name}_unlike"] = math.sqrt(sum((tension - mean) ** 2 for tension in tensions) / len(tensions))
    for column, most, least, after in ((2, "widest", "narrowest", "width"), (3, "longest", "shortest", "length")):
        found[most] = max(0, max(row[column] for row in on))
        found[least] = min(0, min(row[column] for row in on))
        found[after] = off[column]
    found["moment_peak"], found["moment"] = max(row[4] for row in on) / 1000, off[4] / 1000
    return found


class Frame:
    """The ring of two jobs, and its hoop by stiffness."""

    def __init__(self, jobs):
        self.jobs = jobs
        points = [point for job in jobs for point in job.points] + TWO
        self.ring = Ring(jobs[0].data, sorted(set(points)))
        self.bending, self.throat, self.known_hoop, self.known_throat = stiffness(jobs[0].data)
        self.hoops = {}

    def hoop(self, factor, throat):
        """`factor` on the stiffness of a hoop nobody measured, on the measurement of one that is not known otherwise."""
        if (factor, throat) not in self.hoops:
            if not self.known_hoop:
                hoop = Hoop(self.ring, self.bending * factor, AXIAL * factor, throat)
            elif (factor, throat) == (1, self.throat):
                hoop = Hoop(self.ring, self.bending, AXIAL, throat)
            else:
                assert not self.known_throat, "two measurements are not gone through here"
                wide = self.jobs[0].data["frame"]["squeeze"]["wide"]
                hoop = Hoop(self.ring, fit(Ring(self.jobs[0].data, []), wide * factor, throat), AXIAL, throat)
            self.hoops[factor, throat] = hoop
        return self.hoops[factor, throat]

    def sets(self):
        """Every set of values, the one that is taken first."""
        hoops = MEASURED if self.known_hoop else HOOPS
        throats = [(self.throat, long) for long in MEASURED] if self.known_throat else THROATS
        strings = (1,) if all(job.known_string for job in self.jobs) else STRINGS
        known_points = all(job.known_points for job in self.jobs)
        mounts = [(1, None)] if known_points and all(job.known_support for job in self.jobs) else \
                 [(factor, None) for factor in SUPPORTS] + ([] if known_points else [(1, TWO)])
        usual = (1, self.throat, 1, (1, None))
        if self.known_throat:  # of these only the first is gone through
            return [usual] * (len(hoops) * len(throats) * len(strings) * len(mounts))
        every = [(h, t, s, m) for h in hoops for t in throats for s in strings for m in mounts]
        return [usual] + [one for one in every if one != usual]

    def figures(self, values):
        hoop_factor, throat, string, (support, points) = values
        hoop = self.hoop(hoop_factor, throat)
        return [figures(job, job.do(hoop, string, support, points)) for job in self.jobs]


def near(a, b, close=2e-3):
    """Exports round arcs to a thousandth of a mm, tensions and figures to a thousandth."""
    return abs(a - b) < close + 1e-4 * abs(b)


def export(suite, folder, path, name):
    status, out, err = suite.run("export", path, "-p", name, cwd=folder)
    suite.check(f"{name} exports", status == 0, err.decode())
    return json.loads(out)


def compared(suite, folder, path, names, whole):
    """The figures of a comparison; with `whole` their ranges over all sets of values as well."""
    what = " and ".join(names)
    jobs = [Job(export(suite, folder, path, name)) for name in names]
    status, out, err = suite.run("compare", path, "-p", names[0], "-p", names[1], "--format", "json", cwd=folder)
    if not suite.check(f"{what} are compared", status == 0 and err == b"", err.decode()):
        return
    felt = json.loads(out)["felt"]
    frame = Frame(jobs)
    sets = frame.sets()
    suite.check(f"{what}: sets of values", felt["sets"] == len(sets), (felt["sets"], len(sets)))
    all_figures = [frame.figures(values) for values in (sets if whole else sets[:1])]
    worst = 0.0
    for row in felt["rows"]:
        key = row["row"]
        columns = {"a": [a[key] for a, _ in all_figures], "b": [b[key] for _, b in all_figures],
                   "difference": [b[key] - a[key] for a, b in all_figures]}
        for side, values in columns.items():
            wanted = {"value": values[0]}
            if whole:
                wanted.update(least=min(values), most=max(values))
            for end, value in wanted.items():
                worst = max(worst, abs(row[side][end] - value))
                suite.check(f"{what}: {key} of {side}, {end}", near(row[side][end], value), (row[side], wanted))
        if not whole:
            continue
        signs = columns["difference"]
        small = {"N m": 0.05, "mm": 0.005, "N": 0.25}[row["unit"]]  # less makes no difference
        suite.check(f"{what}: whether {key} differs clearly", row["clear"] == (min(signs) >= small or max(signs) <= -small), (row, signs))
        sizes = [abs(b[key]) - abs(a[key]) for a, b in all_figures]
        less = None if key.endswith("mean") or not row["clear"] else "a" if min(sizes) > small else "b" if max(sizes) < -small else None
        suite.check(f"{what}: which has less {key}", row.get("less") in (less, "same"), (row, sizes))
    print(f"felt: {what}, {len(all_figures)} of {len(sets)} sets: figures within {worst:.4f}")


def pull_by_pull(suite, path, name):
    """Every state of a job as `selvage bed` has it."""
    job = Job(export(suite, ROOT, path, name))
    status, out, err = suite.run("bed", path, "-p", name, "--format", "json")
    if not suite.check(f"{name}: what its frame feels", status == 0, err.decode()):
        return
    if not out:
        suite.skip(f"{name}, pull by pull", "bed has no JSON yet")
        return
    data = json.loads(out)
    frame = Frame([job])
    rows = job.do(frame.hoop(1, frame.throat))
    events = data["pulls"]
    suite.check(f"{name}: as many events", len(events) == len(job.events), (len(events), len(job.events)))
    worst = 0.0
    for event, (tensions, supports, width, length, moment) in zip(events + [data["afterwards"]], rows):
        forces = list(zip(event["tensions"], tensions)) + list(zip(event.get("supports", []), supports))
        others = [(event["width"], width), (event["length"], length), (abs(event["moment"]), moment / 1000)]
        worst = max(worst, max(abs(a - b) for a, b in forces))
        suite.check(f"{name}: the state after {event.get('do', 'all')} {event.get('strand', '')}",
                    len(event["tensions"]) == len(tensions) and all(near(a, b, 0.02) for a, b in forces) and
                    all(near(a, b) for a, b in others), (forces, others))
    print(f"felt: {name}, {len(events)} events: forces within {worst:.4f} N")


# Values that are known but for one, so that all sets can be gone through.
KNOWN = """use "%s"
string known {{ gauge 1.2 mm; stiffness 6000 N }}
bench own {{ clamps 2 fixed, 1 starting; mount inside 12, 6, outside 2.5, 9.5, 1500 N per mm; draw-back 0.2 mm }}
pattern up for kestrel-125 {{
  one piece; string known; bench own; tension 26 lb, last pulls +2 lb
  mains from head, M1..M7 on each side, pull 3 ahead then 2
  short tie 6T; long C18..C1, thread 1 ahead, tie 6H
}}
pattern down for kestrel-125 {{
  two pieces; string known; bench own; tension 26 lb
  mains from head, M1..M7 on each side, pull 3 ahead then 2
  left tie 6T; right tie 6T; cross start right 6H, C1..C18, thread 1 ahead, tie 5T
}}
""".replace("{{", "{").replace("}}", "}") % os.path.join(ROOT, "patterns/kestrel.slv")


def run(suite):
    status, _, err = suite.run("bed", "patterns/kestrel.slv", "-p", "kestrel-two", "--format", "json")
    if status != 0 and b"LAPACK" in err:
        suite.skip("PASSED OVER: what frames feel, worked out again", "no LAPACK here (Debian: liblapack3)")
        return
    with tempfile.TemporaryDirectory() as folder:
        with open(os.path.join(folder, "known.slv"), "w", encoding="utf-8") as file:
            file.write(KNOWN)
        compared(suite, folder, "known.slv", ("up", "down"), True)
    compared(suite, ROOT, "patterns/kestrel.slv", ("kestrel-world", "kestrel-plain"), False)
    compared(suite, ROOT, "patterns/heron.slv", ("heron-two", "heron-world"), False)
    compared(suite, ROOT, "patterns/swift.slv", ("swift-one", "swift-two"), False)
    for path, name in (("patterns/kestrel.slv", "kestrel-two"), ("patterns/pike.slv", "pike-two"), ("patterns/otter.slv", "otter-up")):
        pull_by_pull(suite, path, name)
