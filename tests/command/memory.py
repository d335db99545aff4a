"""The command where memory fails: every request, and every one from some request on. It ends with exit
status 3 and says so, or does its work all the same; a file is written whole or left as it was. The order
graph and PDF are left out: libcgraph and GLib do not survive memory that fails. Nor does fts_open of the C library, in one of
its requests, where a folder is walked: that crash is let pass. The run time of Fortran, which LAPACK brings, ends the
process or crashes where memory fails while it is loaded: that is let pass where nothing was written by then."""
import os
import subprocess
import tempfile

from harness import ROOT

KESTREL = os.path.join(ROOT, "patterns/kestrel.slv")
DUNLIN = os.path.join(ROOT, "patterns/dunlin.slv")
BAD = os.path.join(ROOT, "tests/golden/bad/many-faults.slv")

# words, the exit status with memory enough; OUT is a file that holds something already
RUNS = [
    (["check", KESTREL, DUNLIN], 0),
    (["check", "--format", "json", BAD], 1),
    (["check", "--format", "sarif", "-j", "2", KESTREL, BAD], 1),
    (["check", os.path.join(ROOT, "patterns")], 0),
    (["check", "--fix", "COPY"], 1),
    (["steps", KESTREL, "-p", "kestrel-world", "-o", "OUT"], 0),
    (["steps", "--format", "csv", DUNLIN, "-p", "dunlin-two"], 0),
    (["draw", DUNLIN, "-p", "dunlin-two", "-o", "OUT"], 0),
    (["export", KESTREL, "-p", "kestrel-two", "-o", "OUT"], 0),
    (["format", KESTREL], 0),
    (["format", "--write", "COPY"], 1),
    (["expand", DUNLIN], 0),
    (["sheet", KESTREL, "-p", "kestrel-plain"], 0),
    (["chart", KESTREL, "--paper", "A2"], 0),
    (["explain", "SV-301"], 0),
    (["compare", KESTREL, "-p", "kestrel-world", "-p", "kestrel-plain", "-o", "OUT"], 0),
    (["bed", KESTREL, "-p", "kestrel-two", "-o", "OUT"], 0),
    (["--version"], 0),
]


def once(suite, shim, folder, words, at, on):
    """(status, output, errors, requests) of a run in which the request `at` fails."""
    count = os.path.join(folder, "count")
    if os.path.exists(count):
        os.remove(count)
    env = dict(os.environ, LD_PRELOAD=shim, FAIL_AT=str(at), FAIL_COUNT=count)
    if on:
        env["FAIL_ON"] = "1"
    done = subprocess.run([suite.selvage, *words], capture_output=True, env=env, timeout=60)
    if not os.path.exists(count):  # it crashed
        return done.returncode, done.stdout, done.stderr, 0
    with open(count, encoding="ascii") as file:
        return done.returncode, done.stdout, done.stderr, int(file.read())


def read(path):
    with open(path, "rb") as file:
        return file.read()


def write(path, content):
    with open(path, "wb") as file:
        file.write(content)


def every_request(suite, shim, folder, words, wanted):
    out, copy, bad = os.path.join(folder, "out"), os.path.join(folder, "copy.slv"), read(BAD)
    words = [{"OUT": out, "COPY": copy}.get(word, word) for word in words]
    what = " ".join(os.path.basename(word) for word in words)

    def fresh():
        write(out, b"what was there")
        write(copy, bad)
    fresh()
    status, output, _, requests = once(suite, shim, folder, words, 0, False)
    whole, mended = read(out), read(copy)
    suite.check(f"{what}: works with memory enough", status == wanted, status)
    wrong, folders = [], any(os.path.isdir(word) for word in words)
    for on in (False, True):
        crashes = 0
        for at in range(1, requests + 1):
            fresh()
            got, said, errors, _ = once(suite, shim, folder, words, at, on)
            left = sorted(set(os.listdir(folder)) - {"out", "copy.slv", "count"})
            if got == 3:
                good = errors.startswith(b"selvage: ") and b"emory" in errors
                if "check" not in words:
                    good = good and said == b""
            else:
                good = got == wanted and (said == output or got == 1)
            good = good and read(out) in (b"what was there", whole) and not left
            good = good and (read(copy) in (bad, mended) or b"--fix" in " ".join(words).encode())
            fortran = errors.startswith(b"Operating system error: Cannot allocate memory\n") or got == -11
            if fortran and said == b"" and words[0] in ("bed", "compare"):
                good = read(out) == b"what was there" and not left
                got = 0
            crashes += got == -11
            if not good and not (folders and got == -11 and crashes == 1):
                wrong.append(f"request {at}{' and on' if on else ''}: status {got}, {left}, {said[-120:]!r} {errors[:200]!r}")
    suite.check(f"{what}: {2 * requests} failing requests", not wrong, "\n".join(wrong[:12]))
    return 2 * requests


def run(suite):
    shim = os.path.join(os.path.dirname(suite.selvage), "command/failing.so")
    if b"__asan" in subprocess.run(["nm", suite.selvage], capture_output=True).stdout:
        suite.skip("the command where memory fails", "a sanitizer has its own malloc")
        return
    if not os.path.exists(shim):
        suite.skip("the command where memory fails", f"{shim} is not built")
        return
    total = 0
    for words, wanted in RUNS:
        with tempfile.TemporaryDirectory() as folder:
            total += every_request(suite, shim, folder, words, wanted)
    print(f"memory: {total} requests failed")
