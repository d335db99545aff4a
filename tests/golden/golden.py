"""Golden files: findings of every bad text, every output of chosen good ones, and of many at once."""
import os
import re
import tempfile

from harness import ROOT, TESTS, patterns

GOOD = os.path.join(TESTS, "golden", "good")
BAD = os.path.join(TESTS, "golden", "bad")

# Every output of these; the step list of every other.
WHOLE = ["kestrel-world", "pike-two", "dunlin-two", "turns"]
# The bench page of these: it is long, and most of it is style and script.
PAGES = ["turns"]
# Codes that no text can bring about: memory running out, and faults of the compiler itself; and what depends
# on how far a search gets, which a better one may change: legs not found in time.
UNREACHABLE = {"SV-120", "SV-314", "SV-519", "SV-901"}
# Files whose legs are found, and those that keep to the same lines: written out as well.
EXPANDED = ["found.slv", "kept.slv"]
# Texts that are searched to the limit, seconds each: in a folder of their own, so that nobody else goes through
# them, and too slow under valgrind.
SLOW = os.path.join(BAD, "slow")


def codes_in(path):
    with open(path, "rb") as file:
        return {code.decode() for code in re.findall(rb"^\S.*: (?:error|warning|advice): .* \[(SV-\d+)\]$", file.read(), re.M)}


def bad(suite):
    fired = set()
    texts = [(folder, name) for folder in (BAD, SLOW) for name in sorted(os.listdir(folder)) if name.endswith(".slv")]
    for folder, name in texts:
        expected = os.path.join(folder, name[:-4] + ".txt")
        if suite.valgrind and folder == SLOW:
            fired |= codes_in(expected)
            continue
        status, out, err = suite.run("check", name, cwd=folder)
        suite.golden(f"findings of bad/{name}", expected, out)
        suite.check(f"bad/{name} says nothing on standard error", err == b"", err)
        findings = re.findall(rb"(error|warning|advice): .* \[(SV-\d+)\]$", out, re.M)
        suite.check(f"bad/{name} has findings", findings)
        if name == "twenty-faults.slv":
            suite.check("twenty faults give twenty findings", len(findings) == 20 and b"more finding" not in out,
                        len(findings))
        suite.check(f"exit status of bad/{name}", status == (1 if b"error" in dict(findings) else 0))
        fired |= {code.decode() for _, code in findings}
    with open(os.path.join(ROOT, "src/report/rules.def"), encoding="utf-8") as file:
        codes = {"SV-" + number for number in re.findall(r"^RULE\((\d+),", file.read(), re.M)}
    suite.check("every code is fired by a bad text", codes - fired == UNREACHABLE,
                sorted((codes - fired) ^ UNREACHABLE))


def outputs(suite, path, name, cwd, folder):
    forms = {"steps.txt": ["steps"]}
    if name in WHOLE:
        forms.update({"steps.md": ["steps", "--format", "markdown"],
                      "steps.csv": ["steps", "--format", "csv"],
                      "svg": ["draw"], "dot": ["order"], "json": ["export"]})
    if name in PAGES:
        forms["html"] = ["page"]
    for suffix, words in forms.items():
        status, out, err = suite.run(*words, path, "-p", name, cwd=cwd)
        suite.check(f"{words[0]} of {name} succeeds", status == 0, err.decode())
        suite.golden(f"{suffix} of {name}", os.path.join(folder, f"{name}.{suffix}"), out)


def good(suite):
    for folder, files in (("", patterns()), (GOOD, sorted(f for f in os.listdir(GOOD) if f.endswith(".slv")))):
        for path in files:
            cwd = folder or ROOT
            status, out, err = suite.run("check", path, cwd=cwd)
            suite.check(f"{path} is clean", status == 0 and b" 0 errors, 0 warnings" in out and
                        out.count(b"\n") == 1, out.decode() + err.decode())
            with open(os.path.join(cwd, path), encoding="utf-8") as file:
                names = re.findall(r"^pattern (\S+)", file.read(), re.M)
            for name in names:
                outputs(suite, path, name, cwd, GOOD)
            if path in EXPANDED:
                status, out, err = suite.run("expand", path, cwd=cwd)
                suite.check(f"expand of {path} succeeds", status == 0 and err == b"", err.decode())
                suite.golden(f"{path} written out", os.path.join(GOOD, path[:-4] + ".expanded"), out)
                status, out, err = suite.run("check", "-", cwd=cwd, stdin=out)
                suite.check(f"{path} written out holds", b": error:" not in out and status == 0, (out + err).decode())


def compared(suite):
    """Two patterns side by side: of one file, and of two files that use the same frame."""
    folder = os.path.join(TESTS, "golden", "compare")
    kestrel = ["patterns/kestrel.slv", "-p", "kestrel-world", "-p", "kestrel-plain"]
    for name, cwd, words in (("world-and-plain", ROOT, kestrel), ("own-and-other", folder, ["own.slv", "other.slv"])):
        for suffix, form in (("txt", []), ("md", ["--format", "markdown"]), ("json", ["--format", "json"])):
            status, out, err = suite.run("compare", *words, *form, cwd=cwd)
            suite.check(f"compare of {name} succeeds", status == 0 and err == b"", err.decode())
            suite.golden(f"{suffix} of {name}", os.path.join(folder, f"{name}.{suffix}"), out)


def searched(suite):
    """The best ways to string a pattern: found, beside legs that are written, one alone, and where sides differ."""
    folder = os.path.join(TESTS, "golden", "search")
    for name, cwd, words in (("kestrel-plain", ROOT, ["patterns/kestrel.slv", "-p", "kestrel-plain"]),
                             ("kestrel-world", ROOT, ["patterns/kestrel.slv", "-p", "kestrel-world", "--ways", "5"]),
                             ("heron-two", ROOT, ["patterns/heron.slv", "-p", "heron-two", "--ways", "4"]),
                             ("dunlin-down", ROOT, ["patterns/dunlin.slv", "-p", "dunlin-down", "--ways", "1"]),
                             ("kept-whole", GOOD, ["kept.slv", "-p", "kept-whole"]),
                             ("turns", GOOD, ["turns.slv", "--ways", "5"])):
        for suffix, form in (("txt", []), ("md", ["--format", "markdown"]), ("json", ["--format", "json"])):
            status, out, err = suite.run("search", *words, *form, cwd=cwd)
            suite.check(f"search of {name} succeeds", status == 0 and err == b"", err.decode())
            out = re.sub(rb'"nodes":[0-9]+', b'"nodes":1', out)  # a better search looks at fewer
            suite.golden(f"{suffix} of the ways of {name}", os.path.join(folder, f"{name}.{suffix}"), out)
            if suffix == "txt":
                columns_apart(suite, name, out.decode())


def columns_apart(suite, name, text):
    """The text keeps to 80 columns; in its table every value stands in its column, and none touches the next."""
    lines = text.splitlines()
    suite.check(f"the ways of {name} keep to 80 columns", max(map(len, lines)) <= 80)
    rule = lines.index("-" * 80)
    heads = lines[rule - 1].split()
    for line in lines[rule - 1:]:
        if line == lines[rule]:
            continue
        cells = [line[32 + 8 * i:40 + 8 * i] for i in range(len(heads))]
        suite.check(f"the ways of {name}: columns are apart", line[:32].endswith(" ") and
                    all(re.fullmatch(r"(written|\d+|-|\d+\.\d\d m|\d+ (mm|m|min)) *", cell) for cell in cells) and
                    all(cell.endswith(" ") for cell in cells[:-1]), line)


def felt(suite):
    """What the frame feels: with even pulls, far ahead, by a bench that slips; and the step list that shows it."""
    folder = os.path.join(TESTS, "golden", "bed")
    for name, cwd, words in (("dunlin-two", ROOT, ["patterns/dunlin.slv", "-p", "dunlin-two", "--even"]),
                             ("far", folder, ["far.slv", "-p", "far"])):
        for suffix, form in (("txt", "text"), ("md", "markdown"), ("json", "json"), ("csv", "csv")):
            words = [word for word in words if word != "--even" or form != "csv"]
            status, out, err = suite.run("bed", *words, "--format", form, cwd=cwd)
            suite.check(f"bed of {name} succeeds", status == 0, err.decode())
            suite.golden(f"{suffix} of the bed of {name}", os.path.join(folder, f"{name}.{suffix}"), out)
    for suffix, form in (("steps.txt", "text"), ("steps.md", "markdown"), ("steps.csv", "csv")):
        status, out, err = suite.run("steps", "far.slv", "-p", "far", "--bed", "--format", form, cwd=folder)
        suite.check("steps with the bed succeed", status == 0, err.decode())
        suite.golden(f"{suffix} with the bed", os.path.join(folder, f"far.{suffix}"), out)


def charts(suite):
    """Cards and tiles of two small patterns."""
    folder = os.path.join(TESTS, "golden", "chart")
    small = ["-p", "try", "small.slv"]
    for name, words in (("card-A4", ["sheet", *small]), ("card-A5", ["sheet", *small, "--paper", "A5"]),
                        ("both-A3", ["chart", "small.slv", "--paper", "A3"])):
        status, out, err = suite.run(*words, cwd=folder)
        suite.check(f"{name} succeeds", status == 0 and err == b"", err.decode())
        suite.golden(name, os.path.join(folder, name + ".svg"), out)
    with tempfile.TemporaryDirectory() as target:
        status, out, err = suite.run("chart", *small, "--paper", "A3", "--tile", "A4", "-o",
                                     os.path.join(target, "tile.svg"), cwd=folder)
        suite.check("tiles succeed", status == 0 and err == b"", err.decode())
        names = out.decode().split()
        suite.check("four tiles make an A3", [os.path.basename(name) for name in names] ==
                    [f"tile-{number}.svg" for number in range(1, 5)], names)
        with open(names[-1], "rb") as file:
            suite.golden("the last tile", os.path.join(folder, "tile-4.svg"), file.read())


def pictures(suite):
    """What the frame feels, drawn; the same on the second page of a sheet, on a bench page and in a catalogue."""
    folder, chart = os.path.join(TESTS, "golden", "bed"), os.path.join(TESTS, "golden", "chart")
    for name, cwd, words in (("turns", GOOD, ["turns.slv"]), ("try", chart, ["small.slv", "-p", "try"])):
        status, picture, err = suite.run("bed", *words, "--format", "svg", cwd=cwd)
        suite.check(f"picture of {name} succeeds", status == 0 and err == b"", err.decode())
        suite.golden(f"picture of {name}", os.path.join(folder, name + ".svg"), picture)
    words = ["small.slv", "-p", "try", "--bed"]
    with tempfile.TemporaryDirectory() as target:
        suite.run("sheet", *words, "-o", os.path.join(target, "sheet.svg"), cwd=chart)
        pages = []
        for number in (1, 2):
            with open(os.path.join(target, f"sheet-{number}.svg"), "rb") as file:
                pages.append(file.read())
        suite.check("a sheet with the bed has the picture on its second page", pages[1] == picture)
        with open(os.path.join(chart, "card-A4.svg"), "rb") as file:
            suite.check("its card is that of a sheet without", pages[0] == file.read())
        _, page, _ = suite.run("page", *words, cwd=chart)
        suite.run("catalogue", "small.slv", "--bed", "-o", os.path.join(target, "site"), cwd=chart)
        with open(os.path.join(target, "site", "try", "index.html"), "rb") as file:
            listed = file.read()
    suite.golden("page of a catalogue with the bed", os.path.join(folder, "try.html"), listed)
    content = drawn(picture).replace(b'id="', b'id="felt-')
    for what, text in (("bench page", page), ("page of a catalogue", listed)):
        suite.check(f"a {what} with the bed has the picture",
                    drawn(text[text.index(b'<svg xmlns="http://www.w3.org/2000/svg" class="bed"'):]) == content)


def drawn(svg):
    """What a picture draws, without its rules."""
    return svg[svg.index(b"</style>"):svg.index(b"</svg>")]


def run(suite):
    bad(suite)
    good(suite)
    compared(suite)
    searched(suite)
    felt(suite)
    pictures(suite)
    charts(suite)
