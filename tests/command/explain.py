"""The pages of explain: every code has one, prints as it is, and its two examples do what they say."""
import os
import re
import shutil
import tempfile

from golden.golden import UNREACHABLE
from harness import ROOT

FOLDER = os.path.join(ROOT, "docs", "findings")
EXAMPLE = re.compile(r"^## (Wrong|Right)\n\n```(selvage|selvage bytes)\n(.*?)^```$", re.M | re.S)
MOST_LINES = 50


def read(path):
    with open(path, encoding="utf-8") as file:
        return file.read()


def rules():
    """Code: (severity, title), and code: family, as rules.def has them."""
    titles, families, family = {}, {}, None
    for line in read(os.path.join(ROOT, "src/report/rules.def")).splitlines():
        head = re.match(r"/\* (\d) (.*) \*/$", line)
        row = re.match(r'RULE\((\d+), \w+, (\w+), .*, "(.*)"\)$', line)
        if head:
            family = head.group(1), head.group(2)
        if row:
            titles["SV-" + row.group(1)] = row.group(2).lower().replace("fault", "error"), row.group(3)
            families["SV-" + row.group(1)] = family
    return titles, families


def bytes_of(info, body):
    """The bytes of an example: in a `selvage bytes` block \\xE9 stands for one byte."""
    if info == "selvage":
        return body.encode()
    return re.sub(rb"\\x([0-9A-Fa-f]{2})", lambda hit: bytes([int(hit.group(1), 16)]), body.encode())


def examples(suite, folder, code, page):
    """Runs the examples of a page in a copy of its folder, so that `use` finds what lies beside it."""
    found = EXAMPLE.findall(page)
    wanted = [] if code in UNREACHABLE else ["Wrong", "Right"]
    suite.check(f"{code} has the examples it should", [name for name, _, _ in found] == wanted and
                page.count("```") == 2 * len(wanted), [name for name, _, _ in found])
    for name, info, body in found:
        with open(os.path.join(folder, "example.slv"), "wb") as file:
            file.write(bytes_of(info, body))
        status, out, err = suite.run("check", "example.slv", cwd=folder)
        codes = re.findall(rb"^(?:\S.*: )?(error|warning|advice): .* \[(SV-\d+)\]$", out, re.M)
        if name == "Wrong":
            good = codes and {fired.decode() for _, fired in codes} == {code} and \
                status == (1 if b"error" in dict(codes) else 0)
            suite.check(f"the wrong example of {code} fires it and nothing else", good and err == b"", out.decode() + err.decode())
        else:
            clean = re.fullmatch(rb"1 file, \d+ patterns?: 0 errors, 0 warnings\n", out)
            suite.check(f"the right example of {code} is clean", status == 0 and clean and err == b"", out.decode() + err.decode())


def pages(suite, titles):
    names = sorted(name for name in os.listdir(FOLDER) if name.endswith(".md"))
    whole = suite.check("every code has a page docs/findings/SV-NNN.md, and every page a code",
                names == sorted(code + ".md" for code in titles), set(names) ^ {code + ".md" for code in titles})
    with tempfile.TemporaryDirectory() as scratch:
        folder = os.path.join(scratch, "findings")
        shutil.copytree(FOLDER, folder)
        for name in names:
            code, page = name[:-3], read(os.path.join(FOLDER, name))
            suite.check(f"{name} is headed by its code and title",
                        page.split("\n")[0] == f"# {code} {titles.get(code, ('', '?'))[1]}", page.split("\n")[0])
            lines = page.split("\n")
            suite.check(f"{name} is short", len(lines) <= MOST_LINES and max(map(len, lines)) <= 80, len(lines))
            status, out, err = suite.run("explain", code)
            suite.check(f"explain {code} prints the page", status == 0 and out == page.encode() and err == b"",
                        out.decode() + err.decode())
            examples(suite, folder, code, page)
        os.remove(os.path.join(folder, "example.slv"))
        status, out, err = suite.run("check", folder)
        suite.check("the files beside the pages are clean", status == 0 and out.count(b"\n") == 1, out.decode() + err.decode())
    return whole


def verb(suite, titles, families):
    page = read(os.path.join(FOLDER, "SV-301.md")).encode()
    for code in ("SV-301", "sv-301", "301"):
        suite.check(f"{code} is SV-301", suite.run("explain", code) == (0, page, b""))
    other = read(os.path.join(FOLDER, "SV-702.md")).encode()
    suite.check("two pages stand apart", suite.run("explain", "301", "702") == (0, page + b"\n" + other, b""))
    status, out, err = suite.run("explain")
    listed, family = [], None
    for line in out.decode().splitlines():
        row = re.match(r"  (SV-\d+)  (\w+) +(.*)$", line)
        if row:
            listed.append((row.group(1), (row.group(2), row.group(3)), family))
        elif line:
            family = line
    expected = [(code, titles[code], families[code][1][0].upper() + families[code][1][1:]) for code in titles]
    suite.check("explain lists every code with severity and title under its family",
                status == 0 and listed == expected and err == b"", out.decode() + err.decode())
    suite.check("every code stands under its family's digit", all(code[3] == families[code][0] for code in titles))
    for word, near in (("SV-399", b"SV-311"), ("3999", b"SV-311"), ("SV-899", b"SV-801"), ("strand", b"SV-3.."), ("", b"SV-3.."),
                       ("-", b"SV-3.."), ("/", b"SV-3.."), ("SV-0", b"SV-3..")):
        status, out, err = suite.run("explain", word)
        suite.check(f"unknown code `{word}` is refused with what is near", status == 2 and out == b"" and near in err, err)
    status, out, err = suite.run("explain", "nonsense", "301")
    suite.check("a known code beside an unknown one is explained", status == 2 and out == page and b"nonsense" in err)
    status, out, err = suite.run("explain", "3")
    suite.check("a family's digit lists its codes", status == 0 and out.startswith(b"The route (route)\n") and b"SV-202" not in out, out)
    for family in sorted(set(families.values())):
        word = re.search(r"\((\w+)\)$", family[1])
        suite.check(f"the word of family {family[0]} lists its codes", word is None and family[0] == "9" or
                    suite.run("explain", word.group(1)) == suite.run("explain", family[0]))
    suite.check("all lists all", suite.run("explain", "all") == suite.run("explain"))
    for option in (["-p", "x"], ["-o", "x"], ["--string", "x"], ["--bench", "x"], ["--format", "csv"], ["--ignore", "all"], ["--fix"]):
        status, out, err = suite.run("explain", "301", *option)
        suite.check(f"explain takes no {option[0]}", status == 2 and out == b"" and err != b"", err)
    if os.path.exists("/dev/full"):
        import subprocess
        with open("/dev/full", "wb") as full:
            done = subprocess.run([suite.selvage, "explain"], stdout=full, stderr=subprocess.PIPE)
        suite.check("explain on a full device: exit status 3", done.returncode == 3 and done.stderr, done.stderr)


def run(suite):
    titles, families = rules()
    if pages(suite, titles):
        verb(suite, titles, families)
