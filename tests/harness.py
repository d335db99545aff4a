"""Counting checks: every group of tests is a module with run(suite)."""
import os
import subprocess
import sys

TESTS = os.path.dirname(os.path.abspath(__file__))
ROOT = os.path.dirname(TESTS)


class Suite:
    def __init__(self, selvage, update=False, valgrind=False):
        self.selvage = os.path.abspath(selvage)
        self.update = update
        self.valgrind = valgrind
        # The libraries of PDF keep fonts to the end, which leak checkers take for lost.
        self.prints_pdf = not valgrind and "asan" not in self.selvage
        self.passed = self.failed = self.skipped = 0

    def check(self, what, good, detail=""):
        """One check: `good` must be true. The detail is shown where it is not."""
        if good:
            self.passed += 1
        else:
            self.failed += 1
            print(f"FAILED {what}")
            if detail:
                print("    " + str(detail)[:3000].replace("\n", "\n    "))
        return bool(good)

    def skip(self, what, why):
        self.skipped += 1
        print(f"SKIPPED {what}: {why}")

    def run(self, *words, cwd=ROOT, stdin=None, env=None):
        """Runs selvage; gives back status, output and errors as bytes."""
        command = [self.selvage, *words]
        if self.valgrind:
            command = ["valgrind", "-q", "--error-exitcode=99", "--leak-check=full",
                       "--errors-for-leak-kinds=definite,indirect,possible"] + command
        done = subprocess.run(command, cwd=cwd, input=stdin, capture_output=True, timeout=120,
                              env=dict(os.environ, **(env or {})))
        if self.valgrind:
            self.check("valgrind finds nothing in: " + " ".join(words), done.returncode != 99,
                       done.stderr.decode(errors="replace"))
        return done.returncode, done.stdout, done.stderr

    def golden(self, what, path, got):
        """Compares bytes with a golden file; --update writes it instead."""
        if self.update:
            os.makedirs(os.path.dirname(path), exist_ok=True)
            with open(path, "wb") as file:
                file.write(got)
        try:
            with open(path, "rb") as file:
                expected = file.read()
        except FileNotFoundError:
            return self.check(what, False, f"no golden file {path}; tests/run.py --update makes it")
        return self.check(what, got == expected, first_difference(expected, got))


def first_difference(expected, got):
    old, new = expected.decode(errors="replace").split("\n"), got.decode(errors="replace").split("\n")
    for number, (a, b) in enumerate(zip(old, new), 1):
        if a != b:
            return f"line {number}:\n- {a}\n+ {b}"
    return f"{len(old)} lines expected, {len(new)} got"


def patterns():
    """Every shipped file, by path from the root."""
    folder = os.path.join(ROOT, "patterns")
    return sorted(f"patterns/{name}" for name in os.listdir(folder) if name.endswith(".slv"))


def export_all(suite):
    """The exported JSON of every shipped pattern: [(file, name, object)]."""
    import json
    import re
    exports = []
    for path in patterns():
        with open(os.path.join(ROOT, path), encoding="utf-8") as file:
            names = re.findall(r"^pattern (\S+)", file.read(), re.M)
        for name in names:
            status, out, err = suite.run("export", path, "-p", name)
            if suite.check(f"{name} exports", status == 0, err.decode()):
                exports.append((path, name, json.loads(out)))
    return exports


def tool(name):
    """The path of a program, or None where it is not installed."""
    import shutil
    return shutil.which(name)


if __name__ == "__main__":
    sys.exit("run tests/run.py")
