"""The laws of the house: what may know what, no writable statics, nothing of the workplace."""
import os
import re
import subprocess

from harness import ROOT

# part: headers it may include besides libc and its own. See DEVELOPERS.md.
PARTS = ["ground", "report", "syntax", "resolve", "frame", "pattern", "bench", "search", "mechanics", "check", "emit", "cli"]
MAY = {
    "ground": [],
    "report": ["ground"],
    "syntax": ["ground", "report"],
    "resolve": ["ground", "report", "syntax/tree.h", "frame", "pattern"],
    "frame": ["ground", "report"],
    "pattern": ["ground", "report", "frame"],
    "bench": ["ground", "report", "frame", "pattern"],
    "search": ["ground", "report", "frame", "pattern", "bench"],
    "mechanics": ["ground", "frame", "pattern"],
    "check": ["ground", "report", "frame", "pattern", "bench"],
    "emit": ["ground", "frame", "pattern", "mechanics", "selvage.h"],
    "cli": ["selvage.h"],
}
# Headers from outside and the only files that may know them.
ALONE = {
    "graphviz/cgraph.h": ["src/emit/order.c"],
    "dlfcn.h": ["src/emit/order.c", "src/cli/pdf.c", "src/mechanics/algebra.c"],
    "yajl/yajl_gen.h": ["src/ground/json.c"],
    "selvage.tab.h": ["src/syntax/scan.h"],
    "getopt.h": ["src/cli/arguments.c"],
    "setjmp.h": ["src/ground/arena.h"],
    "locale.h": [],
}
# stdio prints and opens; only the command may. cgraph.h needs it for its own FILE.
STDIO = ["src/cli/", "src/emit/order.c"]


def sources(*folders):
    for folder in folders:
        for base, _, names in os.walk(os.path.join(ROOT, folder)):
            for name in sorted(names):
                path = os.path.join(base, name)
                yield os.path.relpath(path, ROOT)


def read(path):
    with open(os.path.join(ROOT, path), encoding="utf-8") as file:
        return file.read()


def includes(suite):
    for path in sources("src"):
        if not path.endswith((".c", ".h")):
            continue
        text = read(path)
        part = path.split("/")[1] if path.count("/") > 1 else None
        for header in re.findall(r'^#include "([^"]+)"', text, re.M):
            built = ("keywords.inc", "keywords.def", "pages.inc", "web.inc", "catalogue.inc")
            if part is None or header in ALONE or header in built:
                continue
            allowed = header.startswith(part + "/") or any(
                header == may or header.startswith(may + "/") for may in MAY[part])
            suite.check(f"{path} may include {header}", allowed)
        for header in re.findall(r'^#include [<"]([^>"]+)[>"]', text, re.M):
            if header in ALONE:
                suite.check(f"{path} may include {header}", path in ALONE[header])
            if header == "stdio.h":
                suite.check(f"{path} may include stdio.h", path.startswith(tuple(STDIO)))
    replay, schedule = read("src/bench/replay.c"), read("src/bench/schedule.c")
    names = set(re.findall(r"^static [^;={]*?\b(\w+)\(", schedule, re.M))
    used = set(re.findall(r"\b(\w+)\(", replay)) - set(re.findall(r"^static [^;={]*?\b(\w+)\(", replay, re.M))
    suite.check("the replay calls nothing of the scheduler", not names & used, names & used)
    lanes = read("src/pattern/lanes.c")
    check = re.search(r"The lanes once more.*", read("src/check/route.c"), re.S).group(0)
    names = set(re.findall(r"^static [^;={]*?\b(\w+)\(", lanes, re.M)) | {"holes_alternate"}
    suite.check("the check of the lanes calls nothing of their assignment",
                not names & set(re.findall(r"\b(\w+)\(", check)))


def heads(suite):
    """Every file says at its head what it is for."""
    for path in sources("src", "grammar"):
        suite.check(f"{path} begins with a comment", read(path).startswith("#" if path.endswith(".awk") else "/*"))
    for path in sources("tests"):
        if path.endswith(".py"):
            suite.check(f"{path} begins with a comment", read(path).startswith(('"""', "#!")))


def statics(suite):
    """No object of the library has writable data: all sections that a program may write are empty."""
    library = os.path.join(os.path.dirname(suite.selvage), "libselvage.a")
    objects = os.path.join(os.path.dirname(suite.selvage), "src")
    if "fsanitize" in subprocess.run(["nm", library], capture_output=True, text=True).stdout or \
            "asan" in suite.selvage:
        suite.skip("no writable statics", "a sanitizer adds its own")
        return
    count = 0
    for base, _, names in os.walk(objects):
        for name in names:
            if not name.endswith(".o") or "/cli" in base:
                continue
            count += 1
            lines = subprocess.run(["size", "-A", os.path.join(base, name)], capture_output=True,
                                   text=True).stdout.splitlines()
            for line in lines:
                words = line.split()
                if len(words) == 3 and re.match(r"\.t?(data|bss)(\.(?!rel\.ro)|$)", words[0]):
                    suite.check(f"{name} has no writable {words[0]}", words[1] == "0", line)
    suite.check("objects of the library were looked at", count > 30, count)
    symbols = subprocess.run(["nm", "-g", "--defined-only", library], capture_output=True, text=True).stdout
    public = [line.split()[-1] for line in symbols.splitlines() if len(line.split()) == 3]
    suite.check("the library shows nothing but selvage_*",
                public and all(re.match(r"selvage_(?!yy)", name) for name in public), public)


def keywords(suite):
    words = re.findall(r'^WORD\((\w+), "([^"]+)"\)', read("grammar/keywords.def"), re.M)
    spellings = [spelling for _, spelling in words]
    suite.check("no word stands twice", len(set(spellings)) == len(spellings))
    grammar = read("grammar/selvage.y")
    for _, spelling in words:
        suite.check(f"the grammar uses {spelling}", f'"{spelling}"' in grammar)


def rules(suite):
    rows = re.findall(r"^RULE\((\d+), (\w+), (\w+), (\w+), (\w+), \"", read("src/report/rules.def"), re.M)
    names = [row[1] for row in rows]
    suite.check("codes rise and names are their own",
                [int(row[0]) for row in rows] == sorted({int(row[0]) for row in rows}) and
                len(set(names)) == len(names))
    code = "".join(read(path) for path in sources("src") if path.endswith(".c"))
    for number, name, _, stage, needs in rows:
        suite.check(f"SV-{number} is raised somewhere", f"RULE_{name}" in code)
        suite.check(f"SV-{number} needs a code that exists", needs == "nothing" or needs in names)
        if stage != "RAISED":
            suite.check(f"check_{name} exists once", code.count(f"void check_{name}(") == 1)


def house(suite):
    """Top level, and the project speaks of itself alone."""
    listed = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True)
    if listed.returncode != 0 or not listed.stdout:
        suite.skip("top level", "no git checkout")
        return
    files = listed.stdout.splitlines()
    top = {name.split("/")[0] for name in files if not name.startswith(".")}
    suite.check("top level is what the card names",
                top <= {"README.md", "DEVELOPERS.md", "LICENSE", "Makefile", "grammar", "src", "tests",
                        "patterns", "demo", "docs"}, top)
    # Put together here, so that this file does not hold them.
    foreign = ["/" + "work/", "../" + "shared", "trans" + "cript", "seed" + " document", "registry." + "npm"]
    for name in files:
        if os.path.islink(os.path.join(ROOT, name)) or not os.path.exists(os.path.join(ROOT, name)):
            continue
        with open(os.path.join(ROOT, name), "rb") as file:
            text = file.read().decode("utf-8", "replace").lower()
        for word in foreign:
            suite.check(f"{name} does not speak of {word}", word not in text)


def run(suite):
    includes(suite)
    heads(suite)
    statics(suite)
    keywords(suite)
    rules(suite)
    house(suite)
