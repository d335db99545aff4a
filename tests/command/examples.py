"""Every example of the documentation is compiled: clean, or with exactly the code its fence names."""
import os
import re

from harness import ROOT


def run(suite):
    docs = os.path.join(ROOT, "docs")
    count = 0
    for name in sorted(os.listdir(docs)):
        if not name.endswith(".md"):
            continue
        with open(os.path.join(docs, name), encoding="utf-8") as file:
            text = file.read()
        for match in re.finditer(r"^```selvage ?(\S*)\n(.*?)^```$", text, re.M | re.S):
            count += 1
            line = text[:match.start()].count("\n") + 1
            status, out, err = suite.run("check", "-", cwd=docs, stdin=match.group(2).encode())
            codes = set(re.findall(rb"\[(SV-\d+)\]$", out, re.M))
            wanted = {match.group(1).encode()} if match.group(1) else set()
            suite.check(f"example at docs/{name}:{line}",
                        codes == wanted and status == (1 if wanted else 0), out.decode() + err.decode())
    suite.check("the manual has examples", count >= 9, count)
    with open(os.path.join(ROOT, "README.md"), encoding="utf-8") as file:
        readme = file.read()
    with open(os.path.join(ROOT, ".ci/run"), encoding="utf-8") as file:
        ci = file.read()
    for command in ("sh demo/run.sh", "sh tests/run.sh"):
        suite.check(f"README and CI run {command}", command in readme and command in ci)
    status, out, _ = suite.run("draw", "patterns/kestrel.slv", "-p", "kestrel-world")
    with open(os.path.join(ROOT, "docs/kestrel-world.svg"), "rb") as file:
        suite.check("the drawing in the README is what the command draws", file.read() == out)
