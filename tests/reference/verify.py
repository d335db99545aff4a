"""An exported pattern judged by code that shares nothing with the compiler: the routes, the loops and
their lanes, the weave, and every move replayed by the rule of holding. Gives back a list of faults."""
import math


def alternate(a, b, c, d):
    """Whether c and d lie on different sides of the chord from a to b, all four being different."""
    if len({a, b, c, d}) < 4:
        return False
    low, high = min(a, b), max(a, b)
    return (low < c < high) != (low < d < high)


class Model:
    def __init__(self, data):
        self.data = data
        self.holes = {hole["id"]: hole for hole in data["frame"]["holes"]}
        self.ring = {hole["id"]: number for number, hole in enumerate(data["frame"]["holes"])}
        self.strands = {strand["id"]: strand for strand in data["strands"]}
        self.perimeter = data["frame"]["perimeter"]
        self.ends = {end["name"]: end for end in data["ends"]}
        self.faults = []

    def fault(self, text):
        self.faults.append(text)

    def need(self, good, text):
        if not good:
            self.fault(text)

    def way(self, a, b):
        """The shorter way along the hoop."""
        gap = abs(self.holes[a]["arc"] - self.holes[b]["arc"])
        return min(gap, self.perimeter - gap)


def geometry(m):
    for strand in m.data["strands"]:
        a, b = (m.holes[hole] for hole in strand["holes"])
        m.need(abs(math.hypot(a["x"] - b["x"], a["y"] - b["y"]) - strand["length"]) < 0.01,
               f"length of {strand['id']}")
        for hole in (a, b):
            m.need(strand["id"] in hole["strands"], f"{strand['id']} is not in {hole['id']}")
    arcs = [hole["arc"] for hole in m.data["frame"]["holes"]]
    m.need(arcs == sorted(arcs) and len(set(arcs)) == len(arcs), "holes out of order along the hoop")
    for hole in m.data["frame"]["holes"]:
        m.need(all(hole["id"] in m.strands[name]["holes"] for name in hole["strands"]),
               f"{hole['id']} lists a strand that is elsewhere")


def routes(m):
    strung = [step["strand"] for end in m.data["ends"] for step in end["route"]]
    m.need(sorted(strung) == sorted(m.strands), "every strand is strung once")
    for end in m.data["ends"]:
        where = end.get("start", {}).get("hole")
        for step in end["route"]:
            m.need({step["enter"], step["leave"]} == set(m.strands[step["strand"]]["holes"]),
                   f"{end['name']} goes through other holes than {step['strand']}'s")
            m.need(where != step["enter"], f"{end['name']} enters the hole it is in")
            where = step["leave"]
        tie = end["tie"]
        m.need(m.holes[tie["hole"]]["tie_off"] and tie["around"] in m.holes[tie["hole"]]["strands"] and
               m.strands[tie["around"]]["kind"] == "main" and tie["hole"] != where,
               f"the knot of {end['name']}")
    knots = [knot["hole"] for end in m.data["ends"] for knot in (end["tie"], end.get("start")) if knot]
    m.need(len(set(knots)) == len(knots), "two knots in one hole")


def loops(m):
    expected = []
    folded = [end for end in m.data["ends"] if "start" not in end]
    expected.append(("fold", frozenset(end["route"][0]["enter"] for end in folded)))
    for end in m.data["ends"]:
        if "start" in end:
            expected.append(("start", frozenset((end["start"]["hole"], end["route"][0]["enter"]))))
        for before, after in zip(end["route"], end["route"][1:]):
            expected.append(("loop", frozenset((before["leave"], after["enter"]))))
        expected.append(("tie", frozenset((end["route"][-1]["leave"], end["tie"]["hole"]))))
    got = [(loop["kind"], frozenset((loop["from"], loop["to"]))) for loop in m.data["loops"]]
    m.need(sorted(map(str, map(lambda p: (p[0], sorted(p[1])), expected))) ==
           sorted(map(str, map(lambda p: (p[0], sorted(p[1])), got))), "the loops are those of the routes")
    order = list(m.ring)
    for loop in m.data["loops"]:
        m.need(abs(loop["length"] - m.way(loop["from"], loop["to"])) < 0.01, f"length of {loop}")
        a, b = m.ring[loop["from"]], m.ring[loop["to"]]
        low, high = min(a, b), max(a, b)
        inner, outer = order[low + 1:high], order[high + 1:] + order[:low]
        gap = m.holes[order[high]]["arc"] - m.holes[order[low]]["arc"]
        short = inner if gap <= m.perimeter - gap else outer
        m.need(set(loop["passes"]) == set(short), f"{loop['from']} to {loop['to']} passes {short}")
        for hole in [loop["from"], loop["to"], *loop["passes"]]:
            for guide in m.data["frame"]["guides"]:
                m.need(guide["hole"] != hole or guide["lane"] == loop["lane"], f"the guide at {hole}")
    for one in m.data["loops"]:
        for two in m.data["loops"]:
            if one["lane"] == two["lane"]:
                m.need(not alternate(*(m.ring[hole] for hole in (one["from"], one["to"], two["from"], two["to"]))),
                       f"{one['from']}-{one['to']} crosses {two['from']}-{two['to']} in the {one['lane']} lane")
    if m.data["frame"]["lanes"] == 1:
        m.need(all(loop["lane"] == "front" for loop in m.data["loops"]), "one lane")


def segments_cross(p, q, r, s):
    def side(a, b, c):
        return (b["x"] - a["x"]) * (c["y"] - a["y"]) - (b["y"] - a["y"]) * (c["x"] - a["x"])
    return side(p, q, r) * side(p, q, s) < 0 and side(r, s, p) * side(r, s, q) < 0


def weave(m):
    mains = [s for s in m.data["strands"] if s["kind"] == "main"]
    crosses = [s for s in m.data["strands"] if s["kind"] == "cross"]
    over = {(row["main"], row["cross"]): row["over"] for row in m.data["weave"]}
    for main in mains:
        for cross in crosses:
            ends = [m.holes[hole] for hole in main["holes"] + cross["holes"]]
            real = len({hole["id"] for hole in ends}) == 4 and segments_cross(*ends)
            m.need(real == ((main["id"], cross["id"]) in over), f"crossing of {main['id']} and {cross['id']}")
    # alternation along every strand, over the crossings next to each other in the full count
    for rows, key in ((mains, lambda a, b: (a, b)), (crosses, lambda a, b: (b, a))):
        columns = crosses if rows is mains else mains
        for strand in rows:
            for one, two in zip(columns, columns[1:]):
                a, b = over.get(key(strand["id"], one["id"])), over.get(key(strand["id"], two["id"]))
                if a is not None and b is not None:
                    m.need((a == strand["id"]) != (b == strand["id"]),
                           f"{strand['id']} passes {one['id']} and {two['id']} alike")
    return over


def first_met(m, over):
    """What is said of a woven strand's first crossing, from coordinates."""
    bed = []
    for move in m.data["moves"]:
        if move["do"] not in ("thread", "weave"):
            continue
        start = m.holes[move["enter"]]
        met = []
        for other in bed:
            kinds = m.strands[move["strand"]]["kind"], m.strands[other]["kind"]
            if kinds[0] == kinds[1]:
                continue
            main, cross = (move["strand"], other) if kinds[0] == "main" else (other, move["strand"])
            if (main, cross) not in over:
                continue
            p, q, r, s = (m.holes[hole] for hole in m.strands[move["strand"]]["holes"] + m.strands[other]["holes"])
            turn = (q["x"] - p["x"]) * (s["y"] - r["y"]) - (q["y"] - p["y"]) * (s["x"] - r["x"])
            t = ((r["x"] - p["x"]) * (s["y"] - r["y"]) - (r["y"] - p["y"]) * (s["x"] - r["x"])) / turn
            x, y = p["x"] + t * (q["x"] - p["x"]), p["y"] + t * (q["y"] - p["y"])
            met.append((math.hypot(x - start["x"], y - start["y"]), other, over[(main, cross)]))
        bed.append(move["strand"])
        m.need((move["do"] == "weave") == bool(met), f"{move['strand']} is {move['do']}n, it meets {len(met)}")
        if met and move["do"] == "weave":
            _, other, top = min(met)
            m.need(move["meets"] == other, f"{move['strand']} meets {other} first, not {move['meets']}")
            m.need(move["first"] == ("over" if top == move["strand"] else "under"), f"{move['strand']} {move['first']}")


def replay(m):
    """The rule of holding: each unbroken run of pulled strands is held at both its outermost strands."""
    threaded = {name: [] for name in m.ends}
    pulled = {name: 0 for name in m.ends}
    tied, started, clamps, tensioner = set(), set(), {}, None
    strings = [piece["ends"] for piece in m.data["strings"]]
    in_hole = {hole: 0 for hole in m.holes}

    def held(end, strand, at_start):
        return tensioner == (end, strand, at_start) or (end, strand, at_start) in clamps.values()

    def all_held():
        for ends in strings:
            if not any(pulled[end] for end in ends):
                continue
            for end in ends:
                if pulled[end] == 0:
                    good = threaded[end] and (end, threaded[end][0], False) in clamps.values()
                else:
                    good = end in tied or held(end, threaded[end][pulled[end] - 1], False)
                if len(ends) == 1:
                    good = good and (end in started or held(end, threaded[end][0], True))
                if not good:
                    return False
        return True

    def room(hole):
        in_hole[hole] += 1
        return in_hole[hole] <= (3 if m.holes[hole]["tie_off"] else 2)

    def on(end, start):
        return any(name.startswith("starting") and place[0] == end and place[2] == start for name, place in clamps.items())

    for move in m.data["moves"]:
        end, strand, start = move["end"], move["strand"], move.get("at") == "start"
        route = m.ends[end]["route"]
        good = True
        if move["do"] in ("thread", "weave"):
            step = route[len(threaded[end])] if len(threaded[end]) < len(route) else {}
            tensioner = None
            good = step.get("strand") == strand and step["enter"] == move["enter"] and step["leave"] == move["leave"]
            good = good and not on(end, False) and end not in tied and all_held()
            threaded[end].append(strand)
            good = room(move["enter"]) and room(move["leave"]) and good
        elif move["do"] == "pull":
            good = pulled[end] < len(threaded[end]) and threaded[end][pulled[end]] == strand and not on(end, False)
            pulled[end] += 1
            tensioner = (end, strand, False)
            good = good and all_held()
        elif move["do"] == "repull":
            last = 0 if start else pulled[end] - 1
            good = 0 <= last < pulled[end] and threaded[end][last] == strand
            good = good and (start or len(threaded[end]) == pulled[end])
            tensioner = (end, strand, start)
            good = good and all_held()
        elif move["do"] == "clamp":
            kind, number = move["clamp"].split("-")
            good = move["clamp"] not in clamps and int(number) <= m.data["bench"]["clamps"][kind]
            fresh = pulled[end] == 0 and threaded[end] and threaded[end][0] == strand
            alone = [ends for ends in strings if end in ends][0] == [end]
            anchor = fresh and (kind == "fixed" and not alone and not start or kind == "starting" and alone and start)
            good = good and (tensioner == (end, strand, start) or anchor) and bool(anchor) == move.get("anchor", False)
            if kind == "starting" and not start:
                good = good and len(threaded[end]) == pulled[end]
            clamps[move["clamp"]] = (end, strand, start)
        elif move["do"] == "release":
            good = clamps.pop(move["clamp"], None) == (end, strand, start) and all_held()
        elif move["do"] == "tie":
            main = move["around"]
            good = any(main in threaded[name][:pulled[name]] for name in m.ends)
            good = good and m.holes[move["hole"]]["tie_off"] and main in m.holes[move["hole"]]["strands"]
            if start and not threaded[end]:
                started.add(end)
            else:
                number = 0 if start else len(route) - 1
                good = good and pulled[end] > number and threaded[end][number] == strand
                good = good and (end, strand, start) in clamps.values()
                (started if start else tied).add(end)
            tensioner = None
            good = room(move["hole"]) and all_held() and good
        m.need(good, f"move {move['n']}: {move}")
    m.need(tied == set(m.ends) and not clamps, "every end tied, no clamp left on")
    m.need(all(pulled[end] == len(m.ends[end]["route"]) for end in m.ends), "every strand pulled")
    m.need(all(end in started for end in m.ends if "start" in m.ends[end]), "every start tied")


def intents(m):
    pulls = [move["strand"] for move in m.data["moves"] if move["do"] == "pull"]
    wanted = m.data["intents"]
    if "crosses_from" in wanted:
        crosses = [int(name[1:]) for name in pulls if name[0] == "C" and name not in wanted.get("skip", [])]
        m.need(crosses == sorted(crosses, reverse=wanted["crosses_from"] == "throat"), "the order of the crosses")


def cuts(m):
    for end in m.data["ends"]:
        terms = end["string"]
        total = sum(terms[name] for name in ("strands", "walls", "crimp", "loops", "tail", "reach")) - terms["stretch"]
        m.need(abs(total - terms["cut"]) < 0.01, f"the cut of {end['name']}")
        m.need(abs(terms["strands"] - sum(m.strands[s["strand"]]["length"] for s in end["route"])) < 0.05,
               f"the strands of {end['name']}")
        wall = m.data["frame"]["outline"]["wall"]
        m.need(abs(terms["walls"] - 2 * wall * len(end["route"])) < 0.01, f"the walls of {end['name']}")
        own = sum(loop["outside"] for loop in m.data["loops"] if loop["end"] == end["name"] and loop["kind"] != "fold")
        if "start" not in end:
            own += sum(loop["outside"] for loop in m.data["loops"] if loop["kind"] == "fold") / 2
        m.need(abs(terms["loops"] - own) < 0.05, f"the loops of {end['name']}")
    for piece in m.data["strings"]:
        m.need(abs(piece["cut"] - sum(m.ends[name]["string"]["cut"] for name in piece["ends"])) < 0.01, "a piece's cut")


def verify(data):
    model = Model(data)
    geometry(model)
    routes(model)
    loops(model)
    over = weave(model)
    first_met(model, over)
    replay(model)
    intents(model)
    cuts(model)
    return model.faults
