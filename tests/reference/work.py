"""The work of every job counted again from its exported moves, and its time at the exported pace."""

KIND = {"thread": "thread", "weave": "weave", "pull": "pull", "repull": "pull", "clamp": "clamp", "release": "clamp",
        "tie": "tie"}


def counted(data):
    work = dict.fromkeys(("mount", "thread", "weave", "pull", "clamp", "tie", "change"), 0)
    work["mount"] = 1
    for move in data["moves"]:
        work[KIND[move["do"]]] += 1
    ends = [move["end"] for move in data["moves"] if KIND[move["do"]] != "clamp"]
    work["change"] = sum(a != b for a, b in zip(ends, ends[1:]))
    return work


def seconds(data):
    return sum(count * data["bench"]["pace"][kind] for kind, count in counted(data).items())


def check(suite, found):
    for path, name, data in found:
        suite.check(f"{name}: the work is that of its moves", data["totals"]["work"] == counted(data),
                    f"{data['totals']['work']}\n{counted(data)}")
        suite.check(f"{name}: the time is its work at its pace", abs(data["totals"]["time"] - seconds(data)) < 0.01)
        suite.check(f"{name}: a pace that is not given is assumed", "bench.pace" in data["assumed"])
        _, steps, _ = suite.run("steps", path, "-p", name)
        minutes = int(data["totals"]["time"] / 60 + 0.5)
        kinds = ", ".join(f"{kind} {count} x {data['bench']['pace'][kind]:g} s" for kind, count in counted(data).items() if count)
        suite.check(f"{name}: the steps say {minutes} minutes, and of what",
                    f"Time about {minutes} min (assumed pace): {kinds} Rules of play" in " ".join(steps.decode().split()), kinds)
        strands = len(data["strands"])
        suite.check(f"{name}: each strand is threaded or woven, and pulled",
                    data["totals"]["work"]["thread"] + data["totals"]["work"]["weave"] == strands <=
                    data["totals"]["work"]["pull"])
    for name in ("kestrel-world", "kestrel-plain", "kestrel-two"):
        time = next(data for _, other, data in found if other == name)["totals"]["time"]
        suite.check(f"{name}: 18 to 20 minutes for a squash job of 14 x 18 (common practice)", 1080 <= time <= 1200, time)
