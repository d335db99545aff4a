"""The command from outside: verbs, options, exit status, files."""
import json
import os
import re
import stat
import subprocess
import tempfile

from harness import ROOT, patterns

KESTREL = os.path.join(ROOT, "patterns/kestrel.slv")
SMALL = b"""frame small { sport squash; inside 186 mm wide, 325 mm long; outline ellipse; wall 11 mm
  holes head M1..M3 C1 C2; holes throat M1..M3 C4 C3; tie-off 2H, 3H, 2T, 3T; tension 20..28 lb }
pattern try for small { one piece, long side right; tension 25 lb, last pulls +2 lb
  mains from head, M1..M3 on each side; short tie 2T; long C4..C1, tie 3H }
"""
BROKEN = SMALL.replace(b"C4..C1", b"C4..C2")
TWO = SMALL[SMALL.index(b"pattern"):].replace(b"try", b"two").replace(b"tension 25 lb", b"tension 24 lb")
FREE = SMALL[:SMALL.index(b"\n  mains from head")] + b" }\n"  # without legs: they are found
VERBS = ["steps", "draw", "order", "export"]


def write(folder, name, content):
    path = os.path.join(folder, name)
    with open(path, "wb") as file:
        file.write(content)
    return path


def read(path):
    with open(path, "rb") as file:
        return file.read()


def status(suite, what, wanted, *words, **more):
    got, out, err = suite.run(*words, **more)
    suite.check(f"{what}: exit status {wanted}", got == wanted, f"got {got}\n{out.decode(errors='replace')}"
                f"{err.decode(errors='replace')}")
    return out, err


def statuses(suite, folder):
    good, bad = write(folder, "good.slv", SMALL), write(folder, "bad.slv", BROKEN)
    status(suite, "check of a sound file", 0, "check", good)
    status(suite, "check of a faulty file", 1, "check", bad)
    out, _ = status(suite, "check of both", 1, "check", good, bad)
    suite.check("check points to the page of the first code", out.endswith(b"\nselvage explain SV-301 says more\n"), out)
    out, _ = status(suite, "check of two faulty files", 1, "check", bad, bad)
    suite.check("check points to a page once in a run", out.count(b"explain") == 1, out)
    out, _ = status(suite, "check of a sound file again", 0, "check", good, good)
    suite.check("check points nowhere where nothing was found", b"explain" not in out, out)
    out, _ = status(suite, "check for a program", 1, "check", bad, "--format", "json")
    suite.check("check points nowhere for a program", b"selvage explain" not in out, out)
    out, _ = status(suite, "check with what is found set aside", 0, "check", bad, "--ignore", "all")
    suite.check("check points nowhere where all is set aside", b"selvage explain" not in out, out)
    status(suite, "check of a missing file", 3, "check", os.path.join(folder, "none.slv"))
    out, _ = status(suite, "check of a folder", 1, "check", folder)
    suite.check("every .slv of the folder was checked", b"\n2 files, 2 patterns: 1 error, 0 warnings\n" in out, out)
    out, _ = status(suite, "check of a missing and a sound file", 3, "check", os.path.join(folder, "none.slv"), good)
    suite.check("a file that is not read is not counted as sound", b"2 files, 1 not read, 1 pattern: 0 errors" in out, out)
    out, _ = status(suite, "check of a file without end", 1, "check", "/dev/zero")
    suite.check("a file without end is refused", b"SV-109" in out, out)
    many = write(folder, "many.slv", SMALL + b"pattern wide for small { one piece\n long " + b", ".join([b"M1..M3"] * 6000) + b" }\n")
    out, _ = status(suite, "check of a block without end", 1, "check", many)
    suite.check("a block without end is refused once", out.count(b"[SV-109]") == 1 and b"1 error," in out, out)
    for verb in VERBS:
        out, err = status(suite, f"{verb} of a faulty file", 1, verb, bad)
        suite.check(f"{verb} of a faulty file writes nothing", out == b"" and b"SV-301" in err)
        out, err = status(suite, f"{verb} of a sound file", 0, verb, good)
        suite.check(f"{verb} of a sound file says nothing else", out != b"" and err == b"", err)
    for words in ([], ["frobnicate", good], ["draw"], ["draw", good, good], ["build", good], ["check", "-o", "x", good],
                  ["draw", "--format", "csv", good], ["steps", "--format", "pdf", good], ["draw", "--nonsense", good],
                  ["draw", good, "-p", "other"], ["check", good, bad, "-p", "try"]):
        out, err = status(suite, "wrong use: " + " ".join(words[:1] + words[2:]), 2, *words)
        suite.check("wrong use is told on standard error", out == b"" and err.startswith((b"selvage: ", suite.selvage.encode())), err)
    for words, wanted in ((["--foo"], b"selvage: there is no option: --foo\n"), (["-x"], b"there is no option: -x\n"),
                          (["--pattern"], b"belongs behind this option: --pattern\n"),
                          (["--long-side"], b"belongs behind this option: --long-side\n"),
                          (["--long-side", "up"], b"--long-side is left or right, not: up\n"),
                          (["--mirror", "--long-side", "left"], b"one of them\n"),
                          (["--format", "csv"], b"--format is text, json or sarif here, not: csv\n"),
                          (["--string", "nope"], b"--string: there is no string called nope"),
                          (["--bench", "nope"], b"--bench: there is no bench called nope")):
        _, err = status(suite, "wrong option " + " ".join(words), 2, "check", good, *words)
        suite.check(f"{words[0]} is named", wanted in err, err)
    for verb, there_are in (("steps", b"text, markdown or csv"), ("compare", b"text, markdown or json")):
        _, err = status(suite, f"a format that {verb} has not", 2, verb, good, "--format", "pdf")
        suite.check(f"{verb} names its formats", there_are in err and b"not: pdf\n" in err, err)
    out, _ = status(suite, "--help", 0, "--help")
    suite.check("--help lists every verb", all(verb.encode() in out for verb in [
        *VERBS, "check", "explain", "compare", "search", "build", "expand", "format", "chart", "sheet"]))
    suite.check("--help tells how many ways a search may list", b"--ways N" in out and b"1 to 5" in out, out)
    suite.check("--help reminds of eye protection", b"eye protection" in out)
    if os.path.exists("/dev/full"):
        with open("/dev/full", "wb") as full:
            done = subprocess.run([suite.selvage, "--help"], stdout=full, stderr=subprocess.PIPE)
        suite.check("help that cannot be printed: exit status 3", done.returncode == 3 and done.stderr, done.stderr)
    out, _ = status(suite, "--version", 0, "--version")
    suite.check("--version is one line", out.startswith(b"selvage ") and out.count(b"\n") == 1)


def choosing(suite, folder):
    out, err = status(suite, "a file with several patterns", 2, "draw", KESTREL)
    suite.check("several patterns are listed", all(name in err for name in
                                                   (b"kestrel-world", b"kestrel-plain", b"kestrel-two")), err)
    out, _ = status(suite, "standard input", 0, "draw", "-", stdin=SMALL)
    good = write(folder, "good.slv", SMALL)
    same, _ = status(suite, "the same from a file", 0, "draw", good)
    suite.check("standard input gives what a file gives", out == same)
    # a file that only uses frames: the one pattern in it is meant
    uses = write(folder, "uses.slv", b'use "sub/frame.slv"\n' + SMALL[SMALL.index(b"pattern"):])
    os.makedirs(os.path.join(folder, "sub"))
    write(folder, "sub/frame.slv", SMALL)
    out, _ = status(suite, "a pattern on a used frame", 0, "draw", uses)
    suite.check("a used frame draws alike", out == same)
    out, _ = status(suite, "a used frame, seen from its own folder", 0, "draw", "uses.slv", cwd=folder)
    suite.check("paths are taken from where the file lies", out == same)
    kit = write(folder, "kit.slv", SMALL + b'string thin "Thin" { gauge 1.1 mm; stretch 10 % at 25 lb }\n'
                b'bench poor { clamps 1 fixed }\n')
    out, _ = status(suite, "--string", 0, "steps", "--string", "thin", kit)
    suite.check("--string is used", b"of Thin" in out)
    scarce = write(folder, "scarce.slv", SMALL + b'string rest { gauge 1.1 mm; length 2 m }\n')
    out, _ = status(suite, "--string that is too short", 1, "check", "--string", "rest", scarce)
    suite.check("it is told at the pattern, which does not name it", b" but a set of rest has 2 m: " in out and
                re.search(rb"\n +\d+ \| pattern try .*\n +\| +\^~~\n", out), out)
    out, err = status(suite, "--bench", 1, "steps", "--bench", "poor", kit)
    suite.check("--bench is used", b"SV-510" in err)
    _, err = status(suite, "--string nobody defines", 2, "steps", "--string", "thn", kit)
    suite.check("an unknown string is told with the near one", b"thin" in err)


def writing(suite, folder):
    good, bad = write(folder, "good.slv", SMALL), write(folder, "bad.slv", BROKEN)
    out, _ = status(suite, "to standard output", 0, "draw", good)
    path = os.path.join(folder, "out.svg")
    status(suite, "-o", 0, "draw", good, "-o", path)
    suite.check("-o writes the same", read(path) == out)
    before = os.stat(path)
    os.utime(path, (1000, 1000))
    status(suite, "-o again", 0, "draw", good, "-o", path)
    suite.check("a file that would not change is not touched", os.stat(path).st_mtime == 1000 and
                os.stat(path).st_ino == before.st_ino)
    write(folder, "out.svg", b"precious")
    status(suite, "a failing command", 1, "draw", bad, "-o", path)
    suite.check("a failing command leaves what was there", read(path) == b"precious")
    os.chmod(path, 0o640)
    status(suite, "-o over a file", 0, "draw", good, "-o", path)
    suite.check("a file keeps its mode", stat.S_IMODE(os.stat(path).st_mode) == 0o640 and read(path) == out)
    link = os.path.join(folder, "link.svg")
    os.symlink("out.svg", link)
    write(folder, "out.svg", b"old")
    status(suite, "-o through a link", 0, "draw", good, "-o", link)
    suite.check("a link is written through", os.path.islink(link) and read(path) == out)
    status(suite, "-o into a missing folder", 3, "draw", good, "-o", os.path.join(folder, "no/out.svg"))
    status(suite, "-o onto a folder", 3, "draw", good, "-o", folder)
    _, err = status(suite, "-o over the source", 2, "draw", good, "-o", good)
    suite.check("the source is not written over", read(good) == SMALL and b"source" in err)
    hard = os.path.join(folder, "hard.slv")
    os.link(good, hard)
    status(suite, "-o over the source by another name", 2, "draw", good, "-o", hard)
    suite.check("nor by another name", read(good) == SMALL)
    if os.path.exists("/dev/full"):
        status(suite, "-o onto a full device", 3, "draw", good, "-o", "/dev/full")
        with open("/dev/full", "wb") as full:
            done = subprocess.run([suite.selvage, "draw", good], stdout=full, stderr=subprocess.PIPE)
        suite.check("standard output that is full: exit status 3", done.returncode == 3, done.stderr)
    leftovers = [name for name in os.listdir(folder) if name.count(".") > 1]
    suite.check("no half-written file is left", not leftovers, leftovers)


def building(suite, folder):
    good, bad = write(folder, "good.slv", SMALL), write(folder, "bad.slv", BROKEN.replace(b"try", b"torn"))
    target = os.path.join(folder, "deep/er/out")
    status(suite, "build", 0, "build", good, "-o", target)
    suite.check("build writes every form", sorted(os.listdir(target)) == [
        "try.dot", "try.json", "try.steps.csv", "try.steps.md", "try.steps.txt", "try.svg"], os.listdir(target))
    for verb, suffix in zip(VERBS, (".steps.txt", ".svg", ".dot", ".json")):
        out, _ = status(suite, verb, 0, verb, good)
        suite.check(f"build and {verb} agree", read(os.path.join(target, "try" + suffix)) == out)
    times = {name: os.stat(os.path.join(target, name)).st_mtime_ns for name in os.listdir(target)}
    out, _ = status(suite, "build again", 0, "build", good, "-o", target)
    suite.check("an unchanged build writes nothing", b"0 files written, 6 unchanged" in out and times == {
        name: os.stat(os.path.join(target, name)).st_mtime_ns for name in os.listdir(target)}, out)
    for name in os.listdir(target):
        path = os.path.join(target, name)
        was = read(path)
        write(target, name, was[:-3] + b"xyz")
        out, _ = status(suite, f"build over a damaged {name}", 0, "build", good, "-o", target)
        suite.check(f"a damaged {name} is mended", read(path) == was and b"1 file written" in out, out)
    out, err = status(suite, "build of sound and faulty files", 1, "build", bad, good, "-o", target)
    suite.check("the sound ones are built, the faulty not", b"1 pattern," in out and b"SV-301" in err and
                not any(name.startswith("torn") for name in os.listdir(target)))
    suite.check("a pattern that is not built is named", b"pattern torn is not built\n" in err, err)
    write(target, "torn.svg", b"old")
    _, err = status(suite, "build of a faulty file again", 1, "build", bad, "-o", target)
    suite.check("files of an earlier run are told of", b"pattern torn is not built; its files in" in err, err)
    _, err = status(suite, "build of one file named twice", 2, "build", good, good, "-o", target)
    suite.check("the same file twice is told as such", b"named twice" in err, err)
    _, err = status(suite, "build of a pattern that is not there", 2, "build", good, "-p", "none", "-o", target)
    suite.check("a pattern that is not there is told", b"no pattern called none" in err, err)
    twin = write(folder, "twin.slv", SMALL)
    _, err = status(suite, "build of two patterns of one name", 2, "build", good, twin, "-o", target)
    suite.check("two of one name are told", b"try" in err and b"already" in err, err)
    status(suite, "build into a file", 3, "build", good, "-o", good)
    # an output that would be its own source
    source = write(folder, "try.steps.txt", SMALL)
    _, err = status(suite, "build over a source", 2, "build", source, "-o", folder)
    suite.check("build does not write over a source", read(source) == SMALL)


LAID_OUT = b"""frame small {
  sport    squash
  inside   186 mm wide, 325 mm long
  outline  ellipse
  wall     11 mm
  holes head    M1..M3 C1 C2
  holes throat  M1..M3 C4 C3
  tie-off  2H, 3H, 2T, 3T
  tension  20..28 lb
}

pattern try for small {
  one piece, long side right
  tension 25 lb, last pulls +2 lb
  mains   from head, M1..M3 on each side
  short   tie 2T
  long    C4..C1, tie 3H
}
"""
EXPANDED = LAID_OUT.replace(b", M1..M3 on each side", b"\n  long    M1\n  short   M1..M2\n  long    M2..M3\n  short   M3")


def formatting(suite, folder):
    good, neat = write(folder, "good.slv", SMALL), write(folder, "neat.slv", LAID_OUT)
    faulty, torn = write(folder, "faulty.slv", BROKEN), write(folder, "torn.slv", SMALL[:-2])
    out, err = status(suite, "format", 0, "format", good)
    suite.check("format prints the layout and changes nothing", (out, err, read(good)) == (LAID_OUT, b"", SMALL), out)
    out, _ = status(suite, "format of standard input", 0, "format", "-", stdin=SMALL)
    suite.check("format of standard input is the same", out == LAID_OUT)
    out, _ = status(suite, "format of a pattern that does not hold together", 0, "format", faulty)
    suite.check("format asks for a text that can be read, no more", b"C4..C2" in out)
    unread = write(folder, "uses.slv", b'use "nowhere.slv"\n')
    status(suite, "format reads no other file", 0, "format", unread)
    out, err = status(suite, "format of a torn text", 1, "format", torn)
    suite.check("a torn text is refused with its findings", out == b"" and b"SV-107" in err, err)
    out, err = status(suite, "--check of a text in the layout", 0, "format", "--check", neat)
    suite.check("--check of it says nothing", (out, err) == (b"", b""))
    out, err = status(suite, "--check of several", 1, "format", "--check", neat, good, faulty)
    suite.check("--check names those that are not", out.decode().split() == [good, faulty] and err == b"", out)
    out, _ = status(suite, "--check of standard input", 1, "format", "--check", "-", stdin=SMALL)
    suite.check("--check names standard input as it was named", out == b"-\n", out)
    out, err = status(suite, "--check of a torn text", 1, "format", "--check", torn, neat)
    suite.check("--check says why a text is refused", out == b"" and b"SV-107" in err)
    below = os.path.join(folder, "below")
    os.makedirs(os.path.join(below, "deep"))
    write(below, "deep/a.slv", SMALL)
    write(below, "b.slv", LAID_OUT)
    out, _ = status(suite, "--check of a folder", 1, "format", "--check", "below", cwd=folder)
    suite.check("--check goes through a folder", out == b"below/deep/a.slv\n", out)
    status(suite, "--write of a folder", 0, "format", "--write", below)
    status(suite, "--check of a folder that was rewritten", 0, "format", "--check", below)
    ignoring = SMALL.replace(b"tension 25 lb", b"\n# ignore text: not so\n tension 25 b")
    out, err = status(suite, "format of a fault that the text sets aside", 1, "format", "-", stdin=ignoring)
    suite.check("what cannot be read is refused whatever is set aside", out == b"" and b"error" in err, err)
    none = os.path.join(folder, "none.slv")
    status(suite, "--check of a missing file", 3, "format", "--check", none, good)
    status(suite, "format of a folder", 3, "format", folder)
    for words in (["format", good, neat], ["format", "--check", "--write", good], ["format", good, "-o", none],
                  ["format", "-p", "try", good], ["format", "--bench", "b", good], ["format", "--ignore", "all", good],
                  ["check", "--write", good],
                  ["expand", "--check", good], ["format", "--format", "csv", good], ["format"], ["expand", good, neat]):
        out, err = status(suite, "wrong use: " + " ".join(words[:2]), 2, *words)
        suite.check("wrong use of format is told on standard error", out == b"" and err.startswith(b"selvage: "), err)
    suite.check("wrong use writes nothing", read(good) == SMALL and read(neat) == LAID_OUT)


def rewriting(suite, folder):
    good, neat = write(folder, "good.slv", SMALL), write(folder, "neat.slv", LAID_OUT)
    torn = write(folder, "torn.slv", SMALL[:-2])
    os.chmod(good, 0o640)
    os.utime(neat, (1000, 1000))
    node = os.stat(neat).st_ino
    out, err = status(suite, "--write of sound and torn files", 1, "format", "--write", torn, good, neat)
    suite.check("--write says nothing but what is wrong", out == b"" and b"SV-107" in err and b"torn.slv" in err, err)
    suite.check("--write rewrites what can be read", read(good) == LAID_OUT)
    suite.check("--write leaves what cannot be read", read(torn) == SMALL[:-2])
    suite.check("--write keeps the mode", stat.S_IMODE(os.stat(good).st_mode) == 0o640)
    suite.check("--write does not touch a file in the layout", os.stat(neat).st_mtime == 1000 and
                os.stat(neat).st_ino == node)
    write(folder, "good.slv", SMALL)
    link = os.path.join(folder, "link.slv")
    os.symlink("good.slv", link)
    status(suite, "--write through a link", 0, "format", "--write", link)
    suite.check("a link is written through", os.path.islink(link) and read(good) == LAID_OUT)
    write(folder, "good.slv", SMALL)
    status(suite, "--write of one file named twice", 0, "format", "--write", good, link)
    suite.check("one file named twice is rewritten once", read(good) == LAID_OUT)
    out, _ = status(suite, "--write of standard input", 2, "format", "--write", "-", stdin=SMALL)
    suite.check("standard input is not rewritten", out == b"", out)
    sealed, torn_word = write(folder, "sealed.slv", SMALL), SMALL.replace(b"tie 2T", b"tie 2t")
    os.chmod(sealed, 0o444)
    status(suite, "--write of a file nobody may write to", 3, "format", "--write", sealed)
    suite.check("it is left", read(sealed) == SMALL and stat.S_IMODE(os.stat(sealed).st_mode) == 0o444)
    os.chmod(sealed, 0o644)
    write(folder, "sealed.slv", torn_word)
    os.chmod(sealed, 0o444)
    status(suite, "--fix of a file nobody may write to", 3, "check", "--fix", sealed)
    suite.check("that is left by --fix", read(sealed) == torn_word)
    os.remove(sealed)
    first, second = write(folder, "first.slv", SMALL), os.path.join(folder, "second.slv")
    os.link(first, second)
    status(suite, "--write of a file with two names", 0, "format", "--write", first)
    suite.check("both names keep one file", read(second) == LAID_OUT and os.path.samefile(first, second))
    fixed = os.path.join(folder, "fixed")
    os.mkdir(fixed)
    locked = write(fixed, "locked.slv", SMALL)
    os.chmod(fixed, 0o555)
    if not os.access(fixed, os.W_OK):
        status(suite, "--write where nothing may be written", 3, "format", "--write", locked)
        suite.check("what cannot be rewritten is left", read(locked) == SMALL)
    os.chmod(fixed, 0o755)
    if os.path.exists("/dev/full"):
        write(folder, "good.slv", SMALL)
        for words in (["format", good], ["format", "--check", good], ["expand", good]):
            with open("/dev/full", "wb") as full:
                done = subprocess.run([suite.selvage, *words], stdout=full, stderr=subprocess.PIPE)
            suite.check(" ".join(words[:-1]) + " onto a full device: exit status 3",
                        done.returncode == 3 and b"standard output" in done.stderr, done.stderr)
    leftovers = [name for name in os.listdir(folder) if name.count(".") > 1]
    suite.check("no half-written file is left by --write", not leftovers, leftovers)


def expanding(suite, folder):
    good, faulty = write(folder, "good.slv", SMALL), write(folder, "faulty.slv", BROKEN)
    out, err = status(suite, "expand", 0, "expand", good)
    suite.check("expand writes the legs out", (out, err) == (EXPANDED, b""), out)
    out, _ = status(suite, "expand of one pattern", 0, "expand", "-", "-p", "try", stdin=SMALL)
    suite.check("expand of one pattern gives the same", out == EXPANDED)
    target = os.path.join(folder, "out.slv")
    status(suite, "expand -o", 0, "expand", good, "-o", target)
    suite.check("expand writes into a file", read(target) == EXPANDED)
    out, _ = status(suite, "expand behind a byte order mark", 0, "expand", "-", stdin=b"\xef\xbb\xbf" + SMALL)
    suite.check("a byte order mark goes", out == EXPANDED, out)
    out, err = status(suite, "expand of a fault that is set aside", 1, "expand", "--ignore", "all", faulty)
    suite.check("nothing is written out on a fault, and that is said", out == b"" and b"faults" in err, err)
    _, err = status(suite, "expand over its source", 2, "expand", good, "-o", good)
    suite.check("expand does not write over its source", read(good) == SMALL and b"source" in err)
    out, err = status(suite, "expand of a faulty file", 1, "expand", faulty, "-o", target)
    suite.check("expand of a faulty file writes nothing", out == b"" and b"SV-301" in err and read(target) == EXPANDED)
    _, err = status(suite, "expand of a pattern that is not there", 2, "expand", good, "-p", "none")
    suite.check("a pattern that is not there is told by expand", b"no pattern called none" in err)
    two = write(folder, "two.slv", SMALL + BROKEN[BROKEN.index(b"pattern"):].replace(b"try", b"torn"))
    out, _ = status(suite, "expand of the sound one of two", 0, "expand", two, "-p", "try")
    suite.check("the other stays as it is", out.startswith(EXPANDED) and b"M1..M3 on each side" in out, out)
    frames = write(folder, "frames.slv", SMALL[:SMALL.index(b"pattern")])
    out, _ = status(suite, "expand of a file without patterns", 0, "expand", frames)
    suite.check("a file without patterns is laid out", out == LAID_OUT[:LAID_OUT.index(b"\npattern")], out)


def sides(suite, folder):
    """--mirror and --long-side: what is strung, and what is told where it cannot be."""
    good = write(folder, "good.slv", SMALL)
    out, _ = status(suite, "--mirror", 0, "steps", "--mirror", good)
    suite.check("the sides are exchanged, and the list says so", b"long side left" in out and b"its sides exchanged" in out, out)
    same, _ = status(suite, "--long-side, the other", 0, "steps", "--long-side", "left", good)
    suite.check("the other long side is the same pattern", same == out)
    plain, _ = status(suite, "--long-side, its own", 0, "steps", "--long-side", "right", good)
    suite.check("a long side that it has changes nothing", plain == status(suite, "steps", 0, "steps", good)[0])
    insists = SMALL.replace(b"tie-off 2H", b"short side left; tie-off 2H")
    firm = write(folder, "firm.slv", insists)
    status(suite, "a frame that insists, as it wants it", 0, "check", firm)
    for words in (["--mirror"], ["--long-side", "left"]):
        out, _ = status(suite, "a frame that insists", 1, "check", *words, firm)
        suite.check("the frame's line and the pattern's are shown", all(part in out for part in (
            b"firm.slv:3:25: error: this frame wants its short side on the left", b"[SV-609]", b"note: this line of the frame",
            b"note: strung with its sides exchanged", b"as they are written")), out)
        out, err = status(suite, "nothing is drawn on it", 1, "draw", *words, firm)
        suite.check("and that is told", out == b"" and b"SV-609" in err, err)
    free = insists.replace(b"one piece, long side right", b"one piece")
    status(suite, "the side the frame leaves", 0, "check", "--long-side", "right", "-", stdin=free)
    out, _ = status(suite, "a side that is not said has a place too", 1, "check", "--long-side", "left", "-", stdin=free)
    suite.check("it is that of the pieces", b"standard input:3:25: error: this frame wants" in out, out)
    odd = os.path.join(ROOT, "tests/golden/good/turns.slv")
    out, _ = status(suite, "sides that differ", 1, "check", "--mirror", odd)
    suite.check("the ordinary findings say what does not hold", b"left 4H has no room for a knot [SV-601]" in out, out)
    out, _ = status(suite, "two pieces have no long side", 1, "check", "--long-side", "left", odd)
    suite.check("that is told with the way on", b"[SV-308]" in out and b"help: --mirror" in out, out)
    far = SMALL.replace(b"tie 3H", b"tie 2H")
    out, _ = status(suite, "advice with a change", 0, "check", "-", stdin=far)
    suite.check("a change is offered", b"\n    + | " in out, out)
    out, _ = status(suite, "the same of the mirrored pattern", 0, "check", "--mirror", "-", stdin=far)
    suite.check("no change is offered where the text is not what is strung", b"SV-610" in out and b"\n    + | " not in out, out)
    text = (SMALL.replace(b"one piece, long side right", b"one piece # left is left\n  ").replace(b"25 lb,", b"25 lb, left M1 +1 lb,")
            .replace(b"tie 3H", b"tie left 3H"))
    out, _ = status(suite, "expand --mirror", 0, "expand", "--mirror", "-", stdin=text)
    suite.check("words for sides are exchanged, comments are not, what was assumed is said", all(part in out for part in (
        b"  one piece, long side left  # left is left\n", b"25 lb, right M1 +1 lb, last", b"tie right 3H\n")), out)
    back, _ = status(suite, "expand --mirror again", 0, "expand", "--mirror", "-", stdin=out)
    suite.check("twice exchanged they are as they were", b"tie left 3H\n" in back and b"long side right  # left" in back, back)
    for words in (["check", "--mirror", "--long-side", "left", good], ["check", "--long-side", "up", good],
                  ["check", "--mirror", "--mirror", good], ["check", "--mirror", "--fix", good], ["format", "--mirror", good],
                  ["explain", "--mirror"]):
        status(suite, "wrong use: " + " ".join(words[:3]), 2, *words)
    built = os.path.join(folder, "built")
    status(suite, "build --mirror", 0, "build", "--mirror", good, "-o", built)
    suite.check("build gives what the verbs give", read(os.path.join(built, "try.steps.txt")) == same)


def comparing(suite, folder):
    """compare: which two are meant, of one file and of two; what cannot be compared."""
    good = write(folder, "good.slv", SMALL)
    late = SMALL.replace(b"tie 3H }\n", b"tie 2H }\n")
    late = write(folder, "late.slv", late)
    pattern = SMALL[SMALL.index(b"pattern"):]
    two = write(folder, "two.slv", SMALL + pattern.replace(b"try", b"two"))
    three = write(folder, "three.slv", SMALL + pattern.replace(b"try", b"two") + pattern.replace(b"try", b"third"))
    out, err = status(suite, "compare of a file's only two", 0, "compare", two)
    suite.check("both are named, in the order written", b"\nA  try\n   no string named, assumed bench\nB  two\n   no string named, assumed bench\n" in out and err == b"", out + err)
    again, _ = status(suite, "compare of two by name", 0, "compare", three, "-p", "try", "-p", "two")
    suite.check("the third is left out", again == out)
    turned, _ = status(suite, "compare the other way round", 0, "compare", "-", "-p", "two", "-p", "try", stdin=read(three))
    suite.check("the first named is A", b"\nA  two\n   no string named, assumed bench\nB  try\n   no string named, assumed bench\n" in turned, turned)
    out, _ = status(suite, "compare of two files", 0, "compare", "good.slv", "late.slv", cwd=folder)
    suite.check("the files are named", b"\nA  try, in good.slv\n   no string named, assumed bench\nB  try, in late.slv\n   no string named, assumed bench\n" in out, out)
    again, _ = status(suite, "compare of two files by one name", 0, "compare", "good.slv", "late.slv", "-p", "try", cwd=folder)
    suite.check("one name stands for both", again == out)
    out, _ = status(suite, "compare of two files by two names", 0, "compare", three, good, "-p", "third", "-p", "try")
    suite.check("each name is for its file", b"\nA  third, in " in out and b"\nB  try, in " in out, out)
    status(suite, "compare with standard input", 0, "compare", "-", late, stdin=SMALL)
    target = os.path.join(folder, "out.json")
    status(suite, "compare -o", 0, "compare", two, "--format", "json", "-o", target)
    suite.check("compare writes into a file", b'"schema":"selvage-compare/1"' in read(target))
    _, err = status(suite, "compare over a source", 2, "compare", good, late, "-o", late)
    suite.check("compare does not write over what it compares", b"not written over" in err, err)
    out, err = status(suite, "compare of one of three", 2, "compare", three)
    suite.check("those there are are listed", out == b"" and err.split()[-3:] == [b"try", b"two", b"third"], err)
    _, err = status(suite, "compare with a name that is not there", 2, "compare", two, "-p", "try", "-p", "tow")
    suite.check("that one is named", b"no pattern called tow" in err, err)
    wide = write(folder, "wide.slv", SMALL.replace(b"186 mm", b"190 mm"))
    out, err = status(suite, "compare on two frames", 2, "compare", good, wide)
    suite.check("what differs is told", out == b"" and b"cannot be compared: both frames are called small, but " in err, err)
    out, err = status(suite, "compare with a faulty file", 1, "compare", good, write(folder, "bad.slv", BROKEN))
    suite.check("its findings are told", out == b"" and b"[SV-301]" in err, err)
    out, err = status(suite, "compare with a fault that is set aside", 1, "compare", "--ignore", "all", good, write(folder, "bad.slv", BROKEN))
    suite.check("nothing is compared with it", out == b"" and b"faults" in err, err)
    status(suite, "compare with a missing file", 3, "compare", good, os.path.join(folder, "none.slv"))
    for words in (["compare"], ["compare", good, "-p", "try"], ["compare", good, late, two], ["compare", "-", "-"],
                  ["compare", good, late, "--format", "csv"], ["compare", three, "-p", "try", "-p", "two", "-p", "third"],
                  ["steps", two, "-p", "try", "-p", "two"], ["compare", good, late, "--check"]):
        out, err = status(suite, "wrong use: " + " ".join(words[:1] + words[2:]), 2, *words)
        suite.check("wrong use of compare is told", out == b"" and err.startswith(b"selvage: "), err)


def json_of(out):
    return json.loads(out or b"{}")


def searching(suite, folder):
    """search: of which pattern, how many ways, in which form, and what is told where there is none."""
    good, free = write(folder, "good.slv", SMALL), write(folder, "free.slv", FREE)
    bad = write(folder, "bad.slv", BROKEN)
    two = write(folder, "two.slv", FREE + FREE[FREE.index(b"pattern"):].replace(b"try", b"again"))
    out, err = status(suite, "search of legs that are written", 0, "search", good)
    suite.check("they stand beside what is found", b"\n" + b" " * 32 + b"written 1 " in out and err == b"", out + err)
    out, err = status(suite, "search of a pattern without legs", 0, "search", free)
    suite.check("three ways are listed", b"the best 3 ways" in out and b"\n3  mains from the " in out and
                b"\n4  " not in out and b"written" not in out and err == b"", out + err)
    same, _ = status(suite, "search as text", 0, "search", free, "--format", "text", "--ways", "3")
    suite.check("that is what it is without options", same == out)
    same, _ = status(suite, "search of standard input", 0, "search", "-", stdin=FREE)
    suite.check("standard input gives what a file gives", same == out)
    same, _ = status(suite, "search in another locale", 0, "search", free,
                     env={"LC_ALL": "de_DE.UTF-8", "LC_NUMERIC": "de_DE.UTF-8", "TZ": "Asia/Tokyo", "MALLOC_PERTURB_": "165"})
    suite.check("it is the same at every run", same == out)
    whole, _ = status(suite, "search for programs", 0, "search", free, "--format", "json", "--ways", "5")
    found = json_of(whole).get("found", [])
    suite.check("the form is named", b'"schema":"selvage-search/1"' in whole and 3 < len(found) <= 5, whole[:300])
    for ways in range(1, 6):
        out, _ = status(suite, f"--ways {ways}", 0, "search", free, "--format", "json", "--ways", str(ways))
        suite.check(f"--ways {ways}: the best of them", json_of(out).get("found") == found[:ways], out[:300])
    out, _ = status(suite, "search as Markdown", 0, "search", free, "--format", "markdown")
    suite.check("it has a head, legs and a table", out.startswith(b"# small, 6 x 4\n\ntry: ") and
                b"\n       long M1..M3\n" in out and b"\n| | 1 | 2 | 3 |\n| --- | --- | --- | --- |\n" in out, out)
    again, _ = status(suite, "search of one of several", 0, "search", two, "-p", "again", "--format", "json", "--ways", "5")
    suite.check("that one is searched", again.replace(b'"again"', b'"try"') == whole)
    out, err = status(suite, "search of several", 2, "search", two)
    suite.check("those there are are listed", out == b"" and err.split()[-2:] == [b"try", b"again"], err)
    out, err = status(suite, "search of a pattern that is not there", 2, "search", two, "-p", "none")
    suite.check("it is named", out == b"" and b"no pattern called none" in err, err)
    out, err = status(suite, "search of a file without patterns", 2, "search", write(folder, "frame.slv", SMALL[:SMALL.index(b"pattern")]))
    suite.check("that there is none is told", out == b"" and b"there is no pattern" in err, err)
    out, err = status(suite, "search of a faulty pattern", 1, "search", bad)
    suite.check("its findings are told", out == b"" and b"[SV-301]" in err, err)
    out, err = status(suite, "search of a fault that is set aside", 1, "search", "--ignore", "all", bad)
    suite.check("nothing is searched on it", out == b"" and b"faults" in err, err)
    clash = FREE.replace(b"tension 25 lb", b"loops up to 10 mm; finish at head; tension 25 lb")
    out, err = status(suite, "search where there is no way", 1, "search", "-", stdin=clash)
    suite.check("it is told why", out == b"" and b"[SV-509]" in err and b"loops up to" in err, err)
    kept = SMALL.replace(b"mains from head, M1", b"loops up to 20 mm; finish at throat; mains from head, M1")
    out, err = status(suite, "search of legs beside lines nobody can keep to", 0, "search", "--ignore", "all", "-", stdin=kept)
    suite.check("no way is found, and the written one stands there", b"no way to string it" in out and b"\n1  " not in out and
                b"\n" + b" " * 32 + b"written\n" in out, out)
    status(suite, "search of a missing file", 3, "search", os.path.join(folder, "none.slv"))
    search_into_files(suite, folder, free, bad)
    for words, reason in (
            (["--ways", "0"], b"--ways is a number from 1 to 5"), (["--ways", "6"], b"--ways is a number from 1 to 5"),
            (["--ways", "-1"], b"1 to 5"), (["--ways", "x"], b"1 to 5"), (["--ways", "3x"], b"1 to 5"), (["--ways", ""], b"1 to 5"),
            (["--ways", "1.5"], b"1 to 5"), (["--ways", "99999999999999999999"], b"1 to 5"),
            (["--ways"], b"belongs behind this option: --ways"), ([free], b"one file at a time"),
            (["-p", "try", "-p", "try"], b"one pattern at a time"),
            (["--format", "csv"], b"--format is text, markdown or json here, not: csv\n"),
            (["--format", "sarif"], b"text, markdown or json"), (["--fix"], b"belong to check"), (["-j", "2"], b"belong to check"),
            (["--check"], b"belong to format"), (["--paper", "A4"], b"belongs to chart and sheet"),
            (["--string", "nope"], b"there is no string called nope"), (["--bench", "nope"], b"there is no bench called nope"),
            (["--mirror", "--long-side", "left"], b"one of them")):
        out, err = status(suite, "wrong use: search " + " ".join(words), 2, "search", free, *words)
        suite.check("wrong use of search is told", out == b"" and reason in err, err)
    out, err = status(suite, "search of no file", 2, "search")
    suite.check("that is told too", out == b"" and b"a file is due" in err, err)
    for verb in ("check", "compare", "expand", "export", "steps", "build", "chart", "catalogue", "format", "explain"):
        out, err = status(suite, f"--ways of {verb}", 2, verb, free, "--ways", "3")
        suite.check("it is told whose it is", out == b"" and b"--ways belongs to search" in err, err)


def search_into_files(suite, folder, free, bad):
    out, _ = status(suite, "search to standard output", 0, "search", free)
    path = os.path.join(folder, "ways.txt")
    said, _ = status(suite, "search -o", 0, "search", free, "-o", path)
    suite.check("search -o writes the same and says nothing", read(path) == out and said == b"")
    os.utime(path, (1000, 1000))
    status(suite, "search -o again", 0, "search", free, "-o", path)
    suite.check("a list that would not change is not touched", os.stat(path).st_mtime == 1000)
    write(folder, "ways.txt", b"precious")
    status(suite, "search of a faulty pattern -o", 1, "search", bad, "-o", path)
    suite.check("a search that fails leaves what was there", read(path) == b"precious")
    _, err = status(suite, "search over its source", 2, "search", free, "-o", free)
    suite.check("search does not write over its source", read(free) == FREE and b"source" in err, err)
    status(suite, "search into a missing folder", 3, "search", free, "-o", os.path.join(folder, "no/ways.txt"))
    if os.path.exists("/dev/full"):
        with open("/dev/full", "wb") as full:
            done = subprocess.run([suite.selvage, "search", free], stdout=full, stderr=subprocess.PIPE)
        suite.check("a search onto a full device: exit status 3", done.returncode == 3 and done.stderr, done.stderr)


def finding(suite, folder):
    """--string, --bench, --mirror and --long-side with legs that are found."""
    kit = (b'string thin "Thin" { gauge 0.7 mm; stretch 20 % at 25 lb }\nbench poor { clamps 1 fixed }\n'
           b'bench one { clamps 1 fixed, 3 starting }\n')
    one, two = FREE + kit, FREE.replace(b"one piece, long side right", b"two pieces") + kit
    open_side = one.replace(b", long side right", b"")

    def best(text, *words):
        out, err = status(suite, "search " + " ".join(words), 0, "search", "-", "--ways", "1", "--format", "json", *words, stdin=text)
        return (json_of(out).get("found") or [{}])[0]

    def turned(value):
        """Left for right in everything that names a side."""
        if isinstance(value, dict):
            return {key: turned(item) for key, item in value.items()}
        if isinstance(value, list):
            return [turned(item) for item in value]
        if not isinstance(value, str):
            return value
        other = {"left": "right", "right": "left"}
        value = re.sub(r"\b(left|right)\b", lambda word: other[word.group()], value)
        return re.sub(r"^[LR](?=M?[0-9])", lambda side: {"L": "R", "R": "L"}[side.group()], value)

    plain, thin = best(one), best(one, "--string", "thin")
    suite.check("another string: the same legs, of less string", plain and thin["legs"] == plain["legs"] and
                thin["figures"]["cut"] < plain["figures"]["cut"], thin)
    out, _ = status(suite, "steps of what is found, with a string", 0, "steps", "--string", "thin", "-", stdin=one)
    suite.check("the step list names it", b"of Thin" in out, out[:600])
    few = best(one, "--bench", "one")
    suite.check("a bench of one fixed clamp is kept to", few["figures"]["clamps_fixed"] == 1, few["figures"])
    out, _ = status(suite, "export of what is found, for a bench", 0, "export", "--bench", "one", "-", stdin=one)
    data = json_of(out)
    suite.check("it is planned for that bench", data["bench"]["name"] == "one" and
                not any(move.get("clamp") == "fixed-2" for move in data["moves"]))
    for verb in ("search", "steps", "expand"):
        out, err = status(suite, f"{verb} with a bench that has too few clamps", 1, verb, "--bench", "poor", "-", stdin=one)
        suite.check("it is told", out == b"" and b"[SV-509]" in err, err)
    for what, text, words in (("one piece", one, ["--mirror"]), ("two pieces", two, ["--mirror"]),
                              ("one piece, no side said", open_side, ["--mirror"]),
                              ("one piece", one, ["--long-side", "left"]),
                              ("one piece, no side said", open_side, ["--long-side", "left"])):
        mirror = best(text, *words)
        suite.check(f"{what}, {' '.join(words)}: what is found is the mirror image", mirror == turned(best(text)), mirror)
        out, _ = status(suite, f"{what}, expand {' '.join(words)}", 0, "expand", *words, "-", stdin=text)
        shown, _ = status(suite, f"{what}, steps {' '.join(words)}", 0, "steps", *words, "-", stdin=text)
        written, _ = status(suite, f"{what}, steps of that", 0, "steps", "-", stdin=out)
        note = re.compile(rb"its sides exchanged")
        suite.check(f"{what}, {' '.join(words)}: written out it is strung the same", note.search(shown) and
                    moves_of(shown) == moves_of(written), out)
    suite.check("a long side it has changes nothing", best(one, "--long-side", "right") == plain and
                best(open_side, "--long-side", "right") == plain)
    for verb in ("search", "steps", "expand"):
        out, err = status(suite, f"{verb} of two pieces with a long side", 1, verb, "--long-side", "left", "-", stdin=two)
        suite.check("two pieces have none", out == b"" and b"[SV-308]" in err, err)
    firm = open_side.replace(b"tie-off 2H", b"short side right; tie-off 2H")
    suite.check("a frame that insists on a side is kept to", best(firm)["long_side"] == "left")
    out, err = status(suite, "the other side on it", 1, "search", "--long-side", "right", "-", stdin=firm)
    suite.check("it is told", out == b"" and b"[SV-609]" in err, err)


def moves_of(steps):
    """The numbered lines of a step list."""
    return re.findall(rb"^ *[0-9]+  .*$", steps, re.M)


def sameness(suite, folder):
    """The same bytes whatever the locale, the folder, the time and the addresses."""
    for path in patterns():
        name = None
        for line in read(os.path.join(ROOT, path)).decode().splitlines():
            if line.startswith("pattern "):
                name = line.split()[1]
        for verb in VERBS if name else []:
            first, _ = status(suite, f"{verb} of {name}", 0, verb, path, "-p", name)
            again, _ = status(suite, f"{verb} of {name} in another locale", 0, verb, path, "-p", name,
                              env={"LC_ALL": "de_DE.UTF-8", "LANG": "de_DE.UTF-8", "LC_NUMERIC": "de_DE.UTF-8",
                                   "TZ": "Asia/Tokyo", "MALLOC_PERTURB_": "165"})
            suite.check(f"{verb} of {name} is the same at every run", first == again)
    out, _ = status(suite, "the steps of kestrel-world", 0, "steps", KESTREL, "-p", "kestrel-world")
    suite.check("the step list keeps to 80 columns", max(len(line) for line in out.decode().splitlines()) <= 80)
    suite.check("the step list is plain ASCII where its titles are", all(byte < 128 for byte in out))


def settings(suite, folder):
    """Severities by the command line, by the source, and by both."""
    low = write(folder, "low.slv", SMALL.replace(b"tension 25 lb", b"tension 15 lb"))
    marked = write(folder, "marked.slv", SMALL.replace(
        b"tension 25 lb", b"\n# ignore SV-702: an old frame\n tension 15 lb"))
    out, _ = status(suite, "a warning", 0, "check", low)
    suite.check("a warning is a warning", b"warning: 15 lb is below" in out and b"0 errors, 1 warning" in out, out)
    for what in ("SV-702", "limits", "all"):
        out, _ = status(suite, f"--error {what}", 1, "check", "--error", what, low)
        suite.check(f"--error {what} makes it an error", b"error: 15 lb is below" in out, out)
        out, _ = status(suite, f"--ignore {what}", 0, "check", "--ignore", what, low)
        suite.check(f"--ignore {what} sets it aside", out == b"1 file, 1 pattern: 0 errors, 0 warnings\n", out)
        out, _ = status(suite, f"--error {what} beside a setting in the text", 0, "check", "--error", what, marked)
        suite.check("what the text sets counts first", b"SV-702" not in out, out)
    out, _ = status(suite, "two settings", 1, "check", "--ignore", "all", "--error", "SV-702", low)
    suite.check("of two the later counts", b"1 error" in out, out)
    status(suite, "an error makes a verb fail", 1, "steps", "--error", "SV-702", low)
    out, err = status(suite, "a fault that is set aside", 1, "steps", "--ignore", "all", write(folder, "bad.slv", BROKEN))
    suite.check("nothing is built on a fault, and that is said", out == b"" and b"faults" in err, err)
    high = write(folder, "high.slv", SMALL.replace(b"tension 25 lb", b"tension 29 lb"))
    status(suite, "an error", 1, "steps", high)
    out, _ = status(suite, "an error that is set aside", 0, "steps", "--warn", "SV-701", high)
    suite.check("what is no fault can be built when set aside", b"29 lb" in out)
    for words in (["--error", "SV-999"], ["--warn", "loops"], ["--ignore", ""], ["--color", "red"], ["--format", "xml"],
                  ["-j", "0"], ["-j", "x"], ["-j", "65"]):
        status(suite, "wrong use: " + " ".join(words), 2, "check", *words, low)
    status(suite, "--fix of standard input", 2, "check", "--fix", "-", stdin=SMALL)
    status(suite, "--fix of another verb", 2, "steps", "--fix", low)


def weighing(suite, folder):
    """Settings as they are written: lists, small letters, and what --fix leaves to them."""
    low = write(folder, "low.slv", SMALL.replace(b"tension 25 lb, last pulls +2 lb", b"tension 15 lb"))
    for words in (["--ignore", "SV-702,sv-611"], ["--ignore", "limits,finish"]):
        out, _ = status(suite, " ".join(words), 0, "check", *words, low)
        suite.check(f"{words[1]} sets both aside", out == b"1 file, 1 pattern: 0 errors, 0 warnings\n", out)
    status(suite, "a list with an unknown code", 2, "check", "--ignore", "SV-702,SV-999", low)
    torn = SMALL.replace(b"short tie 2T;", b"\nshort tie 2t # ignore SV-105: old\n")
    path = write(folder, "aside.slv", torn)
    out, _ = status(suite, "--fix of what is set aside", 0, "check", "--fix", path)
    suite.check("what is set aside is not mended, and the setting is not idle", read(path) == torn and
                b"SV-" not in out, out)
    half = SMALL.replace(b"short tie 2T;", b"\nshort tie 2t 9\n")
    path = write(folder, "half.slv", half)
    out, _ = status(suite, "--fix of a line that would not read", 1, "check", "--fix", path)
    suite.check("a line that would not read is left", read(path) == half and b"change" not in out, out)
    both = SMALL.replace(b"short tie 2T; long C4..C1", b"\nshort tie off at 2t\nlong c4..c1")
    path = write(folder, "both.slv", both)
    out, _ = status(suite, "--fix of several faults of a line", 0, "check", "--fix", path)
    suite.check("all faults of a line are mended", b"short tie 2T\nlong C4..C1, tie 3H" in read(path), read(path))
    spread = SMALL.replace(b"tension 25 lb, last pulls +2 lb",
                           b"\ntension 15 lb,\nlast pulls +5 % # ignore SV-702: so is it wanted\n")
    for verb in ("format", "expand"):
        text, _ = status(suite, f"{verb} of a setting", 0, verb, "-", stdin=spread)
        out, _ = status(suite, f"check after {verb}", 0, "check", "-", stdin=text)
        suite.check(f"a setting covers the same after {verb}", b"SV-" not in out, out)


def colours(suite, folder):
    """Colour only on a terminal that does not refuse it."""
    import pty
    low = write(folder, "low.slv", SMALL.replace(b"tension 25 lb", b"tension 15 lb"))

    def on_terminal(*words, **env):
        ours, theirs = pty.openpty()
        done = subprocess.run([suite.selvage, "check", *words, low], stdout=theirs, stderr=subprocess.PIPE,
                              env=dict(os.environ, TERM="xterm", **env))
        os.close(theirs)
        out = os.read(ours, 65536)
        os.close(ours)
        return done.returncode, out
    if suite.valgrind:
        return
    try:
        for end in pty.openpty():
            os.close(end)
    except OSError as error:
        suite.skip("colour on a terminal", error)
        return
    plain, _ = status(suite, "check into a pipe", 0, "check", low)
    suite.check("no colour in a pipe", b"\x1b" not in plain)
    suite.check("colour on a terminal", b"\x1b[1;35mwarning:\x1b[0m" in on_terminal()[1])
    suite.check("no colour where NO_COLOR is set", b"\x1b" not in on_terminal(NO_COLOR="1")[1])
    suite.check("colour where NO_COLOR is empty", b"\x1b" in on_terminal(NO_COLOR="")[1])
    suite.check("no colour where it is refused", b"\x1b" not in on_terminal("--color", "never")[1])
    suite.check("no colour in JSON", b"\x1b" not in on_terminal("--format", "json", "--color", "always")[1])
    out, _ = status(suite, "--color always", 0, "check", "--color", "always", low)
    import re
    suite.check("colour adds nothing else", re.sub(rb"\x1b\[[0-9;]*m", b"", out) == plain)


def folders(suite, folder):
    """Every .slv below a folder, in the order of their names; what cannot be read is told."""
    os.makedirs(os.path.join(folder, "b/deep"))
    os.makedirs(os.path.join(folder, ".hidden"))
    for name in ("c.slv", "a.slv", "b/x.slv", "b/deep/y.slv", ".hidden/z.slv", ".dot.slv", "notes.txt"):
        write(folder, name, BROKEN)
    os.symlink(".", os.path.join(folder, "b/loop"))
    os.symlink("gone.slv", os.path.join(folder, "d.slv"))
    out, err = status(suite, "a folder", 3, "check", ".", cwd=folder)
    found = [line.split(b":")[0].decode() for line in out.splitlines() if b"[SV-301]" in line]
    suite.check("every .slv, in order", found == ["./a.slv", "./b/deep/y.slv", "./b/x.slv", "./c.slv"], found)
    suite.check("a link to nothing is told", b"d.slv" in err and b"5 files, 1 not read" in out, out + err)
    os.remove(os.path.join(folder, "d.slv"))
    for jobs in ("1", "2", "9"):
        again, _ = status(suite, f"a folder with {jobs} jobs", 1, "check", "-j", jobs, ".", "a.slv", cwd=folder)
        if jobs == "1":
            first = again
        suite.check("jobs change nothing", again == first, again)
    write(folder, "c.slv", SMALL)
    out, _ = status(suite, "--fix over a folder", 1, "check", "--fix", ".", cwd=folder)
    suite.check("a sound file stays", read(os.path.join(folder, "c.slv")) == SMALL)
    empty = os.path.join(folder, "empty")
    os.makedirs(empty)
    os.mkfifo(os.path.join(empty, "pipe.slv"))
    out, err = status(suite, "an empty folder", 0, "check", empty)
    suite.check("that it holds no text is said", b"no .slv" in err, err)
    suite.check("an empty folder is no fault", out == b"0 files, 0 patterns: 0 errors, 0 warnings\n", out)
    half = write(folder, "half.slv", SMALL.replace(b"M1..M3 on", b"M1-M3 on").replace(b"tie 2T", b"tie off 2T"))
    os.chmod(half, 0o640)
    out, _ = status(suite, "--fix", 0, "check", "--fix", half)
    suite.check("--fix writes the file, with its mode", read(half) == SMALL and b"2 changes made" in out and
                stat.S_IMODE(os.stat(half).st_mode) == 0o640, out)
    if os.getuid() != 0:
        os.chmod(folder, 0o555)
        write(folder, "half.slv", SMALL.replace(b"M1..M3 on", b"M1-M3 on"))
        status(suite, "--fix where nothing may be written", 3, "check", "--fix", half)
        os.chmod(folder, 0o755)


def printing(suite, folder):
    """chart and sheet: which papers, which files."""
    good = write(folder, "good.slv", SMALL)
    both = write(folder, "both.slv", SMALL + SMALL[SMALL.index(b"pattern"):].replace(b"try", b"again"))
    bad = write(folder, "bad.slv", BROKEN)
    svg, pdf = os.path.join(folder, "out.svg"), os.path.join(folder, "out.pdf")
    card, err = status(suite, "sheet", 0, "sheet", good)
    suite.check("sheet prints an A4", b'width="210mm" height="297mm"' in card and err == b"", err)
    out, _ = status(suite, "sheet -o", 0, "sheet", good, "-o", svg)
    suite.check("sheet -o writes the same and says nothing", read(svg) == card and out == b"", out)
    out, _ = status(suite, "sheet of standard input", 0, "sheet", "-", stdin=SMALL)
    suite.check("standard input gives the same card", out == card)
    out, _ = status(suite, "a chart of one sheet", 0, "chart", good, both)
    suite.check("a chart holds every pattern", out.count(b'class="card"') == 3, out[:200])
    out, _ = status(suite, "a chart of one pattern", 0, "chart", both, "-p", "again", "--paper", "A3", "--landscape")
    suite.check("it lies across, with that pattern", b'width="420mm" height="297mm"' in out and
                out.count(b'class="card"') == 1)
    out, _ = status(suite, "a chart of a folder with a faulty file", 1, "chart", folder, "--paper", "A2", "-o", svg)
    suite.check("the sound ones are on it", read(svg).count(b'class="card"') == 3 and out == b"", out)
    out, err = status(suite, "several pages", 2, "chart", good, "--paper", "A3", "--tile", "A4")
    suite.check("several pages want -o", out == b"" and b"4 pages" in err and b"-o" in err, err)
    out, _ = status(suite, "several pages with -o", 0, "chart", good, "--paper", "A3", "--tile", "A4", "-o", svg)
    names = [os.path.join(folder, f"out-{page}.svg") for page in range(1, 5)]
    suite.check("the files of pages are named", out.decode().split() == names and all(map(os.path.exists, names)), out)
    before = [os.stat(name).st_mtime_ns for name in names]
    status(suite, "the same again", 0, "chart", good, "--paper", "A3", "--tile", "A4", "-o", svg)
    suite.check("pages that would not change are not touched", before == [os.stat(name).st_mtime_ns for name in names])
    for words, reason in (
            (["sheet", good, "-o", os.path.join(folder, "card.png")], b".svg or .pdf"),
            (["sheet", good, "-o", os.path.join(folder, "card")], b".svg or .pdf"),
            (["sheet", good, "--paper", "A2"], b"A4, A5 or letter"), (["sheet", good, "--paper", "A"], b"A4, A5 or letter"),
            (["sheet", good, "--paper", ""], b"A4, A5 or letter"), (["sheet", good, "--paper", "4 A"], b"A4, A5 or letter"),
            (["chart", good, "--paper", "A5"], b"A2, A3, A4 or letter"), (["chart", good, "--tile", "A3"], b"A4 or letter"),
            (["chart", good, "--paper", "A4", "--tile", "A4"], b"no smaller"),
            (["chart", good, "--paper", "letter", "--tile", "A4"], b"no smaller"),
            (["chart", good, "--paper", "A4", "--tile", "letter"], b"tiles of letter are no smaller than sheets of A4"),
            (["sheet", good, "--tile", "A4"], b"belong to chart"), (["sheet", good, "--landscape"], b"belong to chart"),
            (["draw", good, "--paper", "A4"], b"belongs to chart and sheet"), (["chart", good, "--paper"], b"belongs behind"),
            (["sheet", both], b"say which with -p"), (["sheet", good, good], b"one file"),
            (["chart", good, both, "-p", "try"], b"of one file"), (["chart", good, "-p", "none"], b"no pattern called none"),
            (["chart"], b"a file is due"), (["chart", good, "--format", "svg"], b"--format")):
        out, err = status(suite, "wrong use: " + " ".join(words[:1] + words[2:]), 2, *words)
        suite.check(f"{' '.join(words[2:])}: the reason is told", out == b"" and reason in err, err)
    suite.check("wrong use writes nothing", not os.path.exists(os.path.join(folder, "card.png")))
    _, err = status(suite, "a card over its source", 2, "sheet", write(folder, "x.svg", SMALL), "-o",
                    os.path.join(folder, "x.svg"))
    suite.check("the source is not written over by a card", read(os.path.join(folder, "x.svg")) == SMALL and b"source" in err)
    shout = os.path.join(folder, "LOUD.SVG")
    out, _ = status(suite, "paper and suffix in any case", 0, "sheet", good, "--paper", "LETTER", "-o", shout)
    suite.check("they are the same paper and form", b'width="215.9mm"' in read(shout) and out == b"")
    out, _ = status(suite, "tiles in any case", 0, "chart", good, "--paper", "a3", "--tile", "a4", "-o", shout)
    suite.check("pages keep the suffix as it was said", out.decode().split()[0] == os.path.join(folder, "LOUD-1.SVG"), out)
    write(folder, "page-2.svg", SMALL)
    out, err = status(suite, "a later page over its source", 2, "chart", os.path.join(folder, "page-2.svg"), "--paper",
                      "A3", "--tile", "A4", "-o", os.path.join(folder, "page.svg"))
    suite.check("no page is written before that is seen", out == b"" and b"page-2.svg is a source" in err and
                read(os.path.join(folder, "page-2.svg")) == SMALL and not os.path.exists(os.path.join(folder, "page-1.svg")))
    out, err = status(suite, "a card of a faulty pattern", 1, "sheet", bad, "-o", os.path.join(folder, "bad.svg"))
    suite.check("no card of a faulty pattern", not os.path.exists(os.path.join(folder, "bad.svg")) and b"SV-301" in err)
    status(suite, "a chart of a missing file", 3, "chart", good, os.path.join(folder, "none.slv"))
    status(suite, "a card into a missing folder", 3, "sheet", good, "-o", os.path.join(folder, "no/card.svg"))
    if os.path.exists("/dev/full"):
        with open("/dev/full", "wb") as full:
            done = subprocess.run([suite.selvage, "sheet", good], stdout=full, stderr=subprocess.PIPE)
        suite.check("a card onto a full device: exit status 3", done.returncode == 3, done.stderr)
    if not suite.prints_pdf:
        return
    out, err = status(suite, "a card as PDF", 0, "sheet", good, "-o", pdf)
    suite.check("it is a PDF, whole", read(pdf).startswith(b"%PDF-1.") and read(pdf).rstrip().endswith(b"%%EOF") and
                out == b"" and err == b"", err)
    status(suite, "a PDF by a suffix in capitals", 0, "sheet", good, "-o", os.path.join(folder, "LOUD.Pdf"))
    suite.check("it is the same PDF", read(os.path.join(folder, "LOUD.Pdf")) == read(pdf))
    made = os.stat(pdf).st_mtime_ns
    status(suite, "the PDF again", 0, "sheet", good, "-o", pdf)
    suite.check("a PDF that would not change is not touched", os.stat(pdf).st_mtime_ns == made)
    status(suite, "a PDF into a missing folder", 3, "sheet", good, "-o", os.path.join(folder, "no/card.pdf"))
    # A library that is there in name only stands for one that is not there.
    empty = os.path.join(folder, "empty")
    os.makedirs(empty)
    write(empty, "librsvg-2.so.2", b"")
    write(folder, "out.pdf", b"precious")
    _, err = status(suite, "PDF without librsvg", 3, "sheet", good, "-o", pdf, env={"LD_LIBRARY_PATH": empty})
    suite.check("the package is named and the file left", b"librsvg2-2" in err and read(pdf) == b"precious", err)
    status(suite, "SVG without librsvg", 0, "sheet", good, "-o", svg, env={"LD_LIBRARY_PATH": empty})
    leftovers = [name for name in os.listdir(folder) if name.count(".") > 1]
    suite.check("no half-written page is left", not leftovers, leftovers)


def feeling(suite, folder):
    """bed and what takes it: wrong use, values that do not fit, a pattern without tension, LAPACK that is not there."""
    good, two = write(folder, "good.slv", SMALL), write(folder, "two.slv", SMALL + TWO)
    for words in (["bed"], ["bed", good, good], ["bed", good, "--format", "xyz"], ["bed", good, "--bed"], ["steps", good, "--even"],
                  ["compare", two, "--even"], ["check", good, "--bed"], ["draw", good, "--bed"], ["compare", two, "--bed"],
                  ["steps", good, "--format", "svg"], ["bed", good, "--ways", "2"], ["bed", good, "-p", "no-such"]):
        out, err = status(suite, " ".join(words), 2, *words)
        suite.check("wrong use of bed is told", out == b"" and err.startswith(b"selvage: "), err)
    out, err = status(suite, "bed of a faulty file", 1, "bed", write(folder, "bad.slv", BROKEN))
    suite.check("nothing is felt with it", out == b"" and b"SV-301" in err, err)
    for what, line, place in (("a throat", b"squeeze 130 N per mm wide, 5 N per mm long", 3), ("tension", b"", 5)):
        text = SMALL.replace(b"tension 20..28 lb }", b"\n  " + line + b" }\n")
        text = text if line else text.replace(b"tension 25 lb, last pulls +2 lb", b"")
        odd = write(folder, "odd.slv", text + TWO)
        for words in (["bed", odd, "-p", "try"], ["bed", odd, "-p", "try", "--even", "--format", "json"],
                      ["steps", odd, "-p", "try", "--bed"]):
            out, err = status(suite, f"{words[0]} where {what} is not to be had", 1, *words)
            suite.check(f"{words[0]}: the place is named where {what} is not to be had", out == b"" and
                        err.splitlines()[-1].startswith(f"selvage: {odd}:{place}:".encode()), err)
        status(suite, f"steps where {what} is not to be had", 0, "steps", odd, "-p", "try")
        out, _ = status(suite, f"compare where {what} is not to be had", 0, "compare", odd, "-p", "two", "-p", "try")
        words = b"what the frame feels is left out; " + (b"A: squeeze: " if line else b"B: no tension is known")
        suite.check("what the frame feels is left out, and it is said why", b"\n\n" + words in out and b"B minus A" not in out, out)
    missing_lapack(suite, folder, good, two)


def missing_lapack(suite, folder, good, two):
    """LAPACK is loaded by what needs it, and by nothing else; where it is not there that is said."""
    only = os.path.join(folder, "only")
    os.makedirs(only)
    write(only, "good.slv", SMALL)
    felt = [["bed", good], ["steps", good, "--bed"], ["page", good, "--bed"], ["compare", two]]
    others = [["check", good], *([verb, good] for verb in VERBS), ["page", good], ["sheet", good, "-o", os.path.join(folder, "card.svg")],
              ["search", good], ["expand", good], ["format", good], ["explain", "SV-301"],
              ["build", good, "-o", folder], ["catalogue", only, "-o", os.path.join(folder, "pages")]]
    for words, loads in [(words, True) for words in felt] + [(words, False) for words in others]:
        done = subprocess.run([suite.selvage, *words], cwd=folder, capture_output=True, timeout=60,
                              env=dict(os.environ, LD_DEBUG="files", LD_DEBUG_OUTPUT=os.path.join(folder, "loaded")))
        logs = [os.path.join(folder, name) for name in os.listdir(folder) if name.startswith("loaded.")]
        seen = any(b"liblapack" in read(log) for log in logs)
        for log in logs:
            os.remove(log)
        suite.check(f"{' '.join(words)} {'loads' if loads else 'does without'} LAPACK", logs and done.returncode == 0 and seen == loads,
                    (done.returncode, done.stderr, len(logs)))
    # A library that is there in name only stands for one that is not there.
    empty = os.path.join(folder, "empty")
    os.makedirs(empty)
    write(empty, "liblapack.so.3", b"")
    away = {"LD_LIBRARY_PATH": empty}
    for words in felt[:-1]:
        out, err = status(suite, f"{words[0]} without LAPACK", 3, *words, env=away)
        suite.check(f"{words[0]}: what is missing is named", out == b"" and b"needs LAPACK (Debian package liblapack3), which is not installed" in err, err)
    for form in ("text", "markdown", "json"):
        out, err = status(suite, f"compare as {form} without LAPACK", 0, "compare", two, "--format", form, env=away)
        out = b" ".join(out.split())
        suite.check("what is missing is named in a comparison", err == b"" and b"cut" in out and
                    out.count(b"what the frame feels needs LAPACK (Debian package liblapack3), which is not installed") == 1 and b"minus" not in out, out)


def run(suite):
    for group in (statuses, choosing, writing, building, settings, weighing, colours, folders, formatting, rewriting,
                  expanding, sides, comparing, feeling, searching, finding, sameness, printing):
        with tempfile.TemporaryDirectory() as folder:
            group(suite, folder)
