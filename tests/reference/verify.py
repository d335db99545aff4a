"""An exported pattern judged by code that shares nothing with the compiler: the hole map, the routes and
which hole each strand is entered by, the loops and their lanes, the weave, the legs laid out again as acts,
every move replayed by the rule of holding, and the intents. Gives back a list of faults."""
import math
import re


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


def hole_map(m):
    """Holes counted through from the centre lines; every strand from one place or side to the other;
    strands of a kind side by side, in the order of their numbers."""
    frame, half = m.data["frame"], m.perimeter / 2
    m.need(len(m.holes) == len(frame["holes"]) and len(m.strands) == len(m.data["strands"]), "a name used twice")
    for side in ("left", "right"):
        for place in ("head", "throat"):
            numbers = [h["number"] for h in frame["holes"] if h["side"] == side and h["place"] == place]
            m.need(sorted(numbers) == list(range(1, len(numbers) + 1)), f"holes {side} at the {place} not counted through")
            m.need(numbers == sorted(numbers, reverse=(side == "left") == (place == "head")), f"the order of the holes {side} at the {place}")
    for hole in frame["holes"]:
        letters = {"left": "L", "right": "R", "centre": ""}[hole["side"]], hole["place"][0].upper()
        m.need(hole["id"] == f"{letters[0]}{hole['number']}{letters[1]}", f"the name of {hole['id']}")
        m.need((hole["number"] == 0) == (hole["side"] == "centre"), f"the side of {hole['id']}")
        m.need(len(hole["strands"]) <= 2 and len(set(hole["strands"])) == len(hole["strands"]), f"the strands of {hole['id']}")
    rows = {}
    for strand in m.data["strands"]:
        letter, side = ("M" if strand["kind"] == "main" else "C"), re.match("[LR]?", strand["id"]).group(0)
        m.need(strand["id"] == f"{side}{letter}{strand['index']}", f"the name of {strand['id']}")
        a, b = (m.holes[hole] for hole in strand["holes"])
        if strand["kind"] == "main":
            at_home = {"L": {"left"}, "R": {"right"}, "": {"centre"}}[side]
            m.need((a["place"], b["place"]) == ("head", "throat") and {a["side"], b["side"]} == at_home,
                   f"{strand['id']} goes from {a['id']} to {b['id']}")
            place = strand["index"] * (-1 if side == "L" else 1)
            # from left to right: the way from the head's centre line, and from the throat's
            head = a["arc"] if a["arc"] <= half else a["arc"] - m.perimeter
            rows.setdefault("main", []).append((place, head, half - b["arc"]))
        else:
            m.need((a["side"], b["side"]) == ("left", "right"), f"{strand['id']} goes from {a['id']} to {b['id']}")
            rows.setdefault("cross", []).append((strand["index"], m.perimeter - a["arc"], b["arc"]))
        rows.setdefault((strand["kind"], side), []).append(strand["index"])
    for key, numbers in rows.items():
        if isinstance(key, tuple):
            first = 0 if key == ("main", "") else 1
            m.need(sorted(numbers) == list(range(first, first + len(numbers))), f"{key} not counted through")
    for kind in ("main", "cross"):
        row = sorted(rows.get(kind, []))
        m.need(len(row) > 0, f"no strand of kind {kind}")
        for one, two in zip(row, row[1:]):
            m.need(one[1] < two[1] and one[2] < two[2], f"{kind} {one[0]} and {two[0]} meet or change places")


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


def asked_entry(m, strand, word):
    """The holes of a strand that answer to `from WORD`."""
    return [hole for hole in m.strands[strand]["holes"] if word in (m.holes[hole]["side"], m.holes[hole]["place"])]


def entries(m):
    """By which hole each strand is entered: where `from` says so; else, for an end that is nowhere yet,
    at the place the mains are to begin at; else by the hole nearest to where the end is, never by that
    hole itself."""
    asked = {}
    for leg in m.data["legs"]:
        for item in leg["items"]:
            if "from" in item:
                asked[item["strands"][0]] = item["from"]
    for end in m.data["ends"]:
        where = end.get("start", {}).get("hole")
        m.need((where is not None) == (end["name"] == "cross"), f"the start of the {end['name']} end")
        for step in end["route"]:
            strand, enter, leave = step["strand"], step["enter"], step["leave"]
            if strand in asked:
                m.need(asked_entry(m, strand, asked[strand]) == [enter], f"{strand} is not entered from the {asked[strand]}")
            elif where is None:
                m.need(m.strands[strand]["kind"] == "main" and
                       m.holes[enter]["place"] == m.data["intents"].get("mains_from"), f"{strand} is entered at a place nobody said")
            elif where != leave:
                m.need(m.way(where, enter) + 0.99 < m.way(where, leave), f"{strand} is not entered by the nearer hole")
            where = leave
        if "start" in end:
            m.need(end["start"]["hole"] not in m.strands[end["route"][0]["strand"]]["holes"], "start in the first strand's own hole")
        sides = {"long": m.data["pattern"].get("long_side"), "left": "left", "right": "right"}
        sides["short"] = {"left": "right", "right": "left"}.get(sides["long"])
        m.need(m.data["pattern"]["pieces"] == (1 if end["name"] in ("long", "short") else 2), f"a {end['name']} end")


def in_turn(one, two, first, then):
    """Two ends in turn: the first pulls `first` strands; from the first change on an end goes on until it
    leads by `then` or has no more."""
    rows, order, lead, turn = [list(one), list(two)], [], first, 0
    done = [0, 0]
    while any(rows):
        while rows[turn] and (done[turn] - done[1 - turn] < lead or not rows[1 - turn]):
            order.append((turn, rows[turn].pop(0)))
            done[turn] += 1
        turn, lead = 1 - turn, then
    return order


def acts_of_legs(m):
    """The legs as single acts, as the manual has them: threading ahead stays within a leg and stops at a knot."""
    acts = []
    for leg in m.data["legs"]:
        if len(leg["ends"]) == 2:
            ahead = leg["pull_ahead"]
            runs = [item["strands"] for item in leg["items"]]
            rows = [(leg["ends"][turn], "thread and pull", strand) for turn, strand in in_turn(*runs, ahead["first"], ahead["then"])]
        else:
            end, rows = leg["ends"][0], []
            for item in leg["items"]:
                if "strands" in item:
                    rows += [(end, item["do"], strand) for strand in item["strands"]]
                else:
                    rows.append((end, item["do"], item["hole"]))
        threaded = set()

        def thread(end, strand):
            if strand not in threaded:
                threaded.add(strand)
                acts.append(("thread", end, strand))
        for number, (end, do, what) in enumerate(rows):
            if do.startswith("thread"):
                thread(end, what)
            if do.endswith("pull"):
                ahead = leg.get("thread_ahead", 0)
                for other, do_next, strand in rows[number + 1:]:
                    if ahead == 0 or (other == end and do_next == "tie"):
                        break
                    if other == end and do_next.startswith("thread"):
                        thread(end, strand)
                        ahead -= 1
                acts.append(("pull", end, what))
            if do in ("start", "tie"):
                acts.append((do, end, what))
    return acts


def legs(m):
    """The moves do what the legs say, in their order. Of one strand the order is the bench's: a folded
    string is anchored on the other end's first strand, which may be threaded before its leg comes."""
    acts = acts_of_legs(m)
    by_clamp = [end["name"] for end in m.data["ends"] if end.get("start", {}).get("by") == "clamp"]
    wanted = [act for act in acts if act[0] != "start" or act[1] not in by_clamp]
    got = []
    for move in m.data["moves"]:
        do = {"weave": "thread"}.get(move["do"], move["do"])
        if do == "tie":
            if move.get("at") == "start" and move["end"] in by_clamp:
                continue
            got.append(("start" if move.get("at") == "start" else "tie", move["end"], move["hole"]))
        elif do in ("thread", "pull"):
            got.append((do, move["end"], move["strand"]))
    if got != wanted:
        folded = [end for end in m.data["ends"] if "start" not in end]
        pulls = [act[1] for act in wanted if act[0] == "pull" and act[1] != "cross"]
        late = [end for end in folded if pulls and end["name"] != pulls[0]]
        anchor = ("thread", late[0]["name"], late[0]["route"][0]["strand"]) if late else None
        m.need(anchor in got and anchor in wanted and got.index(anchor) <= wanted.index(anchor) and
               [act for act in got if act != anchor] == [act for act in wanted if act != anchor],
               "the moves follow the legs")
    for end in m.data["ends"]:
        own = [act[2] for act in acts if act[1] == end["name"] and act[0] == "thread"]
        m.need(own == [step["strand"] for step in end["route"]], f"the route of the {end['name']} end is that of its legs")
        m.need([act[2] for act in acts if act[1] == end["name"] and act[0] == "tie"] == [end["tie"]["hole"]], f"the knot of the {end['name']} end")
        if "start" in end:
            started = [(item["hole"], item["by"]) for leg in m.data["legs"] for item in leg["items"] if item["do"] == "start"]
            m.need(started == [(end["start"]["hole"], end["start"]["by"])], "the start is that of the legs")
    stated = {item["strands"][0]: item["first"] for leg in m.data["legs"] for item in leg["items"] if "first" in item}
    woven = {move["strand"]: move["first"] for move in m.data["moves"] if move["do"] == "weave"}
    for strand, first in stated.items():
        m.need(woven.get(strand) == first, f"{strand} passes {woven.get(strand)}, not {first}, what it meets first")
    if not stated and woven:
        m.need(next(iter(woven.values())) == "over", "the first weave goes over where nothing is said")


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
        ways = [way for way, length in ((inner, gap), (outer, m.perimeter - gap)) if length < m.perimeter / 2 + 0.01]
        m.need(any(set(loop["passes"]) == set(way) for way in ways), f"{loop['from']} to {loop['to']} passes {ways}")
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
    moves = [move for move in m.data["moves"] if move["do"] == "pull"]
    wanted, told = m.data["intents"], {finding["code"] for finding in m.data["findings"]}
    skip = wanted.get("skip", [])
    crosses = [int(move["strand"][1:]) for move in moves if move["strand"][0] == "C" and move["strand"] not in skip]

    def rising(place):
        return crosses == sorted(crosses, reverse=place == "throat")
    if "crosses_from" in wanted:
        m.need(rising(wanted["crosses_from"]), "the order of the crosses")
    if "crosses_from" in m.data["frame"]:
        m.need(rising(m.data["frame"]["crosses_from"]) or "SV-512" in told, "a warning that the maker asks for another order")
    # mains of a side, in the order they are pulled: M0 belongs to no side
    mains = [(move["end"], move["strand"]) for move in moves if re.match("[LR]M", move["strand"]) and move["end"] != "cross"]
    if "mains_from" in wanted:
        for end in m.data["ends"]:
            first = end["route"][0]
            if end["name"] != "cross" and m.strands[first["strand"]]["kind"] == "main":
                m.need(m.holes[first["enter"]]["place"] == wanted["mains_from"], f"the {end['name']} end begins at the other place")
    if "begins" in wanted and mains:
        m.need(mains[0][0] == wanted["begins"], f"the {wanted['begins']} end begins")
    if "pull_ahead" in wanted:
        count, changed = {}, False
        for number, (end, strand) in enumerate(mains):
            changed = changed or (number > 0 and mains[number - 1][0] != end)
            count[end] = count.get(end, 0) + 1
            others = [count.get(name, 0) for name in m.ends if name not in (end, "cross")]
            lead = count[end] - max(others)
            m.need(lead <= wanted["pull_ahead"]["then" if changed else "first"], f"{strand} is pulled {lead} ahead")
    if "long_side" in wanted:
        m.need(m.data["pattern"]["long_side"] == wanted["long_side"], "the long side")
        own = [step["strand"] for step in m.ends["long"]["route"] if re.match("[LR]M", step["strand"])]
        m.need(not own or own[0][0] == wanted["long_side"][0].upper(), "the long end begins on the long side")
    m.need(not any(finding["severity"] == "error" for finding in m.data["findings"]), "no errors")


def tensions(m):
    """Every pull within the range printed on the frame; the last before a knot a tenth above it at most."""
    last = {end["route"][-1]["strand"] for end in m.data["ends"]}
    pulls = {move["strand"]: move.get("tension") for move in m.data["moves"] if move["do"] == "pull"}
    for move in m.data["moves"]:
        if move["do"] == "repull":
            m.need(move.get("tension") == pulls[move["strand"]], f"{move['strand']} is pulled again with another tension")
    if "tension" in m.data["frame"]:
        most = m.data["frame"]["tension"]["most"]
        firsts = {end["route"][0]["strand"] for end in m.data["ends"] if "start" in end}
        for strand, pull in pulls.items():
            m.need(pull is not None and pull <= most * (1.1 if strand in last | firsts else 1) + 0.01, f"the tension of {strand}")


def order_of_moves(m):
    m.need([move["n"] for move in m.data["moves"]] == list(range(1, len(m.data["moves"]) + 1)), "moves counted through")
    steps = {step["strand"]: step for end in m.data["ends"] for step in end["route"]}
    for move in m.data["moves"]:
        if move["do"] in ("pull", "repull"):
            step = steps[move["strand"]]
            holes = (step["enter"], step["leave"]) if move.get("at") != "start" else (step["leave"], step["enter"])
            m.need((move["enter"], move["leave"]) == holes, f"{move['strand']} is pulled through other holes")
    used = {"fixed": 0, "starting": 0}
    on = {"fixed": set(), "starting": set()}
    for move in m.data["moves"]:
        if move["do"] in ("clamp", "release"):
            kind = move["clamp"].split("-")[0]
            (on[kind].add if move["do"] == "clamp" else on[kind].discard)(move["clamp"])
            used[kind] = max(used[kind], len(on[kind]))
    totals = m.data["totals"]
    m.need(totals["clamps"] == used, f"clamps in use at most: {used}")
    lengths = [loop["length"] for loop in m.data["loops"]]
    m.need(abs(totals["loops"] - sum(lengths)) < 0.1 and abs(totals["longest_loop"] - max(lengths)) < 0.01, "the total of the loops")
    m.need(abs(totals["cut"] - sum(end["string"]["cut"] for end in m.data["ends"])) < 0.01, "the total of the cuts")


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

    def stage(judge, *more):
        """What refers to something that is not there is a fault as well."""
        try:
            return judge(model, *more)
        except (KeyError, IndexError, ValueError, ZeroDivisionError) as error:
            model.fault(f"{judge.__name__}: {error!r}")
            return {}
    for judge in (geometry, hole_map, routes, entries, legs, loops):
        stage(judge)
    over = stage(weave)
    stage(first_met, over)
    for judge in (replay, intents, tensions, order_of_moves, cuts):
        stage(judge)
    return model.faults
