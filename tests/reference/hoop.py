"""The mechanics of a job against CalculiX, a general finite-element program: an egg-shaped hoop, seven
strands pulled in turn, then the supports removed.

CalculiX's beams are solids, with shear; of a slender section both models are the same. The full ring is
modelled and only translations are held: to hold rotations of such beams costs over a percent. A pull is a
linear step of its own on the ring with a spring for each strand that is held by then, and what it changes
is added up here. The oval is worked out here as well, from the formula in the manual."""
import bisect
import math
import os
import subprocess
import tempfile

from harness import tool

WIDTH, LENGTH, EXPONENT, TAPER = 186.0, 325.0, 2.0, 0.18
BENDING, THROAT = 70e6, 2.0  # N mm2, and what it is multiplied by round the throat
SECTION = 10.0, 1.0  # out of the plane, in it, mm
YOUNG = BENDING / (SECTION[0] * SECTION[1] ** 3 / 12)
AXIAL = YOUNG * SECTION[0] * SECTION[1]
STRING = 5000.0  # N
POST = 2000.0  # N/mm, inside at head and throat
LONGEST = 3.0  # of an element, mm
# Where strands pass, as parts of the way round: mains that lean and cross the middle askew, so that nothing
# is symmetric; crosses from the head.
STRANDS = [(0, 0.030, 0.475), (0, 0.965, 0.520), (0, 0.085, 0.430), (0, 0.925, 0.580),
           (1, 0.870, 0.135), (1, 0.770, 0.240), (1, 0.640, 0.365)]
# Strand and pull, N. Mains between, so that both posts keep touching.
PULLS = [(0, 118), (1, 120), (4, 60), (2, 121), (5, 70), (3, 117), (6, 65)]
CLOSE = 0.01  # N


class Oval:
    """|x/a|^n + |(y-b)/b|^n = 1, beyond the middle narrowed by 1 - taper ((y-b)/b)^2; by arc length."""

    def __init__(self, width, length, exponent, taper, steps=40000):
        self.half, self.points, way = 0.0, [], [0.0]
        a, b = width / 2, length / 2
        for i in range(steps + 1):
            angle = math.pi * i / steps
            s, c = math.sin(angle), math.cos(angle)
            r = ((abs(s) / a) ** exponent + (abs(c) / b) ** exponent) ** (-1 / exponent)
            depth = max(0.0, -r * c / b)
            self.points.append((r * s * (1 - taper * depth * depth), b - r * c))
            if i > 0:
                way.append(way[-1] + math.dist(self.points[i - 1], self.points[i]))
        self.way, self.half = way, way[-1]

    def at(self, arc):
        arc %= 2 * self.half
        left = arc > self.half
        if left:
            arc = 2 * self.half - arc
        i = min(max(bisect.bisect_right(self.way, arc) - 1, 0), len(self.way) - 2)
        part = (arc - self.way[i]) / (self.way[i + 1] - self.way[i])
        (x, y), (u, v) = self.points[i], self.points[i + 1]
        x, y = x + part * (u - x), y + part * (v - y)
        return (-x if left else x, y)


class Ring:
    """Nodes of beams with a node in the middle of each, and the node of every hole and post."""

    def __init__(self, oval):
        whole = 2 * oval.half
        self.arcs = [part * whole for _, *parts in STRANDS for part in parts]
        fixed = sorted({0.0, oval.half, *self.arcs})
        throat_from, throat_to = sorted(STRANDS[-1][1:])
        self.nodes, self.throat, self.of_arc = [], [], {}
        for i, start in enumerate(fixed):
            end = fixed[i + 1] if i + 1 < len(fixed) else fixed[0] + whole
            parts = math.ceil((end - start) / LONGEST)
            self.of_arc[start] = len(self.nodes) + 1
            for k in range(2 * parts):
                self.nodes.append(oval.at(start + (end - start) * k / (2 * parts)))
            middle = (start + end) / 2 / whole
            self.throat += [throat_from < middle < throat_to] * parts
        self.head, self.bottom = self.of_arc[0.0], self.of_arc[oval.half]
        self.holes = [(self.of_arc[self.arcs[2 * i]], self.of_arc[self.arcs[2 * i + 1]])
                      for i in range(len(STRANDS))]

    def along(self, strand):
        a, b = (self.nodes[node - 1] for node in self.holes[strand])
        length = math.dist(a, b)
        return ((b[0] - a[0]) / length, (b[1] - a[1]) / length), length

    def deck(self, springs, posts, loads):
        """The input of one linear step: strands that are springs, whether posts stand, forces by node."""
        count = len(self.nodes)
        lines = ["*NODE"]
        lines += [f"{i}, {x:.12g}, {y:.12g}, 0" for i, (x, y) in enumerate(self.nodes, 1)]
        lines += [f"{count + 1}, 0, -50, 0", f"{count + 2}, 0, {LENGTH + 50}, 0"]
        for name, throat in (("HOOP", False), ("THROAT", True)):
            lines.append(f"*ELEMENT, TYPE=B32R, ELSET={name}")
            lines += [f"{i + 1}, {2 * i + 1}, {2 * i + 2}, {(2 * i + 2) % count + 1}"
                      for i in range(count // 2) if self.throat[i] == throat]
        lines += ["*MATERIAL, NAME=WALL", "*ELASTIC", f"{YOUNG}, 0",
                  "*MATERIAL, NAME=STIFFER", "*ELASTIC", f"{YOUNG * THROAT}, 0"]
        for name, material in (("HOOP", "WALL"), ("THROAT", "STIFFER")):
            lines += [f"*BEAM SECTION, ELSET={name}, MATERIAL={material}, SECTION=RECT",
                      f"{SECTION[0]}, {SECTION[1]}", "0, 0, 1"]
        ties = [(*self.holes[strand], STRING / self.along(strand)[1]) for strand in springs]
        if posts:
            ties += [(self.head, count + 1, POST), (self.bottom, count + 2, POST)]
        for i, (a, b, stiffness) in enumerate(ties):
            lines += [f"*ELEMENT, TYPE=SPRINGA, ELSET=TIE{i}", f"{count + i + 1}, {a}, {b}",
                      f"*SPRING, ELSET=TIE{i}", "", f"{stiffness:.9f}"]
        lines += ["*NSET, NSET=RING, GENERATE", f"1, {count}", "*NSET, NSET=SEEN"]
        lines += [str(node) for node in sorted({*sum(self.holes, ()), self.head, self.bottom})]
        lines += ["*BOUNDARY", "RING, 3, 3", f"{self.head}, 1, 1", f"{self.bottom}, 1, 1",
                  f"{count + 1}, 1, 3", f"{count + 2}, 1, 3"]
        if not posts:
            lines.append(f"{self.head}, 2, 2")
        lines += ["*STEP", "*STATIC", "*CLOAD"]
        for node, (x, y) in loads.items():
            lines += [f"{node}, 1, {x:.15g}", f"{node}, 2, {y:.15g}"]
        lines += ["*NODE PRINT, NSET=SEEN", "U", "*END STEP", ""]
        return "\n".join(lines)


def solve(folder, deck):
    """Displacements by node, as CalculiX has them."""
    with open(os.path.join(folder, "hoop.inp"), "w", encoding="ascii") as file:
        file.write(deck)
    done = subprocess.run(["ccx", "-i", "hoop"], cwd=folder, capture_output=True, text=True, timeout=120,
                          env=dict(os.environ, OMP_NUM_THREADS="1"))
    moved = {}
    with open(os.path.join(folder, "hoop.dat"), encoding="ascii") as file:
        for line in file:
            words = line.split()
            if len(words) == 4 and words[0].isdigit():
                moved[int(words[0])] = float(words[1]), float(words[2])
    assert moved, done.stdout[-2000:]
    return moved


def by_calculix(ring, folder):
    """Tensions and the posts' forces after every pull, then the tensions without posts."""
    tensions, posts, held, rows = [0.0] * len(STRANDS), [0.0, 0.0], [], []

    def change(moved, stands):
        for strand in held:
            (x, y), length = ring.along(strand)
            a, b = (moved[node] for node in ring.holes[strand])
            nearer = x * (a[0] - b[0]) + y * (a[1] - b[1])
            tensions[strand] -= STRING / length * nearer
        if stands:  # posts push outwards: the head up, which is towards less y
            posts[0] += POST * moved[ring.head][1]
            posts[1] -= POST * moved[ring.bottom][1]

    for strand, pull in PULLS:
        (x, y), _ = ring.along(strand)
        a, b = ring.holes[strand]
        moved = solve(folder, ring.deck(held, True, {a: (x * pull, y * pull), b: (-x * pull, -y * pull)}))
        change(moved, True)
        tensions[strand] = float(pull)
        held.append(strand)
        rows += [list(tensions), list(posts)]
    change(solve(folder, ring.deck(held, False, {ring.head: (0, posts[0]), ring.bottom: (0, -posts[1])})), False)
    return rows + [list(tensions)]


def by_selvage(program, ring):
    words = [WIDTH, LENGTH, EXPONENT, TAPER, BENDING, AXIAL, THROAT, LONGEST, STRING, len(ring.arcs), *ring.arcs,
             len(STRANDS)]
    for i, (kind, *_) in enumerate(STRANDS):
        words += [kind, 2 * i, 2 * i + 1]
    words += [2, 12, 0, POST, 6, 0, POST, len(PULLS)]
    for strand, pull in PULLS:
        words += [0, strand, pull]
    done = subprocess.run([program], input=" ".join(map(repr, words)), capture_output=True, text=True, timeout=60)
    assert done.returncode == 0, (done.returncode, done.stderr)
    rows = [[float(word) for word in line.split()] for line in done.stdout.splitlines()]
    return rows[:len(ring.arcs)], rows[len(ring.arcs):]


def run(suite):
    if tool("ccx") is None:
        suite.skip("PASSED OVER: the mechanics against CalculiX", "no ccx here (Debian: calculix-ccx)")
        return
    program = os.path.join(os.path.dirname(suite.selvage), "reference", "hoop")
    oval = Oval(WIDTH, LENGTH, EXPONENT, TAPER)
    ring = Ring(oval)
    places, own = by_selvage(program, ring)
    for i, place in enumerate(places):
        suite.check(f"hole {i} lies where the formula has it", math.dist(place, oval.at(ring.arcs[i])) < 1e-3, math.dist(place, oval.at(ring.arcs[i])))
    with tempfile.TemporaryDirectory() as folder:
        other = by_calculix(ring, folder)
    suite.check("as many rows", len(own) == len(other) == 2 * len(PULLS) + 1)
    worst = 0.0
    for i, (a, b) in enumerate(zip(own, other)):
        far = max(abs(x - y) for x, y in zip(a, b))
        if i % 2 == 0:
            worst = max(worst, far)
            suite.check(f"tensions after {i // 2 + 1 if i < 2 * len(PULLS) else 'all'} pulls agree with CalculiX's",
                        far < CLOSE, (far, a, b))
        else:
            suite.check(f"both posts push after {i // 2 + 1} pulls, as hard as CalculiX's",
                        min(a) > 1 and far < 10 * CLOSE, (far, a, b))
    print(f"hoop: tensions within {worst:.4f} N of CalculiX's")
