"""format and expand: golden files, and what must hold of every text there is: nothing lost, nothing meant
otherwise, the same again."""
import json
import os
import random
import re

from format import words
from format.shuffle import shuffle
from harness import ROOT, TESTS, patterns

GOLDEN = os.path.join(TESTS, "golden", "format")
SEEDS = 6


def slv(folder):
    return [os.path.join(folder, name) for name in sorted(os.listdir(folder)) if name.endswith(".slv")]


def read(path):
    with open(path, "rb") as file:
        return file.read()


def every_text():
    """(name, folder, bytes) of every text of the project that can be parsed."""
    for path in [os.path.join(ROOT, path) for path in patterns()] + \
            [path for part in ("good", "bad", "format") for path in slv(os.path.join(TESTS, "golden", part))]:
        yield os.path.relpath(path, ROOT), os.path.dirname(path), read(path)
    docs = os.path.join(ROOT, "docs")
    for name in sorted(os.listdir(docs)):
        if name.endswith(".md"):
            text = read(os.path.join(docs, name))
            for number, match in enumerate(re.findall(rb"^```selvage[^\n]*\n(.*?)^```$", text, re.M | re.S), 1):
                yield f"docs/{name}, example {number}", docs, match


def findings(report):
    """Findings without their places, in order; the byte order mark goes."""
    found = re.findall(r"^\S.*?:\d+:\d+: ((?:error|warning|advice): .*)$", report.decode(), re.M)
    return [text for text in found if "[SV-102]" not in text]


def exported(suite, folder, text, name, *without):
    status, out, err = suite.run("export", "-", "-p", name, cwd=folder, stdin=text)
    if status != 0:
        return status, err.decode()
    whole = json.loads(out)
    whole["findings"] = [finding for finding in whole["findings"] if finding["code"] != "SV-102"]
    for finding in whole["findings"]:
        for key in ("file", "line", "column"):
            finding.pop(key, None)
    for key in without:
        whole.pop(key)
    return whole


def names_in(text):
    return re.findall(r"^pattern\s+(\S+)", text.decode(), re.M)


def same_meaning(suite, name, folder, text, laid_out):
    reports = [suite.run("check", "-", cwd=folder, stdin=given) for given in (text, laid_out)]
    suite.check(f"{name}: the layout changes no finding",
                reports[0][0] == reports[1][0] and findings(reports[0][1]) == findings(reports[1][1]),
                reports[0][1].decode() + reports[1][1].decode())
    for pattern in names_in(laid_out) if reports[0][0] == 0 else []:
        suite.check(f"{name}: the layout does not change {pattern}",
                    exported(suite, folder, text, pattern) == exported(suite, folder, laid_out, pattern))


def nothing_lost(suite, name, text, laid_out):
    before, after = text.decode().lstrip("\ufeff"), laid_out.decode()
    suite.check(f"{name}: every comment is kept", words.comments(before) == words.comments(after))
    suite.check(f"{name}: every word is kept", words.statements(before) == words.statements(after),
                "\n".join(f"{a} {b}" for a, b in zip(words.statements(before), words.statements(after)) if a != b))
    suite.check(f"{name}: no blank at a line's end, no carriage return, one line feed at the end",
                not re.search(r"[ \t\r]$", after, re.M) and after.endswith("\n") and not after.endswith("\n\n"))
    wide = [line for line in after.splitlines() if len(line) > 100 and re.search(r",\s+\S", re.sub(r'"[^"]*"|#.*', "", line[:101]))
            and "#" not in line]
    suite.check(f"{name}: no line over 100 columns that could be broken", not wide, wide)


def texts(suite):
    count = 0
    for name, folder, text in every_text():
        status, laid_out, err = suite.run("format", "-", cwd=folder, stdin=text)
        if status == 1 and "/bad/" in name:
            suite.check(f"{name}: a text that is refused prints findings only", laid_out == b"" and b"error" in err, err)
            continue
        count += 1
        if not suite.check(f"{name} is laid out", status == 0 and err == b"", err.decode()):
            continue
        again = suite.run("format", "-", cwd=folder, stdin=laid_out)
        suite.check(f"{name}: laid out twice is laid out once", again == (0, laid_out, b""), again[1].decode())
        nothing_lost(suite, name, text, laid_out)
        same_meaning(suite, name, folder, text, laid_out)
    suite.check("many texts were laid out", count > 60, count)


def golden(suite):
    for path in slv(GOLDEN):
        for verb, suffix in (("format", ".out"), ("expand", ".expanded")):
            if verb == "expand" and not path.endswith("legs.slv"):
                continue
            status, out, err = suite.run(verb, path)
            suite.check(f"{verb} of {os.path.basename(path)}", status == 0 and err == b"", err.decode())
            suite.golden(f"{verb} of {os.path.basename(path)}", path[:-4] + suffix, out)


def shipped(suite):
    status, out, err = suite.run("format", "--check", *patterns())
    suite.check("the shipped patterns are in the layout", (status, out, err) == (0, b"", b""), out + err)
    for name, folder, text in every_text():
        if name.startswith("docs/"):
            _, laid_out, _ = suite.run("format", "-", cwd=folder, stdin=text)
            suite.check(f"{name} is in the layout", laid_out == text, laid_out.decode())


def shuffled(suite):
    """Where only spacing is changed, the layout gives the text back."""
    paths = [os.path.join(ROOT, path) for path in patterns()] + \
        [os.path.join(GOLDEN, name) for name in ("everything.out", "legs.out")]
    for path in paths:
        text = read(path)
        for seed in range(SEEDS):
            changed = shuffle(random.Random(f"{os.path.basename(path)} {seed}"), text.decode()).encode()
            status, out, err = suite.run("format", "-", stdin=changed)
            suite.check(f"{os.path.relpath(path, ROOT)} shuffled with seed {seed}", status == 0 and out == text,
                        f"{err.decode()}\n---- from\n{changed.decode()}\n---- came\n{out.decode()}")


def as_strung(whole, found):
    """Without what writing out says that was not said: pulls ahead, and of legs that were found, that they were, and what
    was found besides."""
    if not isinstance(whole, dict):
        return whole
    whole["intents"].pop("pull_ahead", None)
    if found:
        whole.pop("found", None)
        for name in ("long_side", "mains_from"):
            whole["intents"].pop(name, None)
        whole["assumed"] = [assumed for assumed in whole["assumed"] if assumed not in
                            ("pattern.legs", "pattern.long_side", "pattern.mains_from")]
    return whole


def kept_in_order(before, after):
    """Whether all that was there is there: a leg that was found has a comment of its own besides."""
    rest = iter(after)
    return all(comment in rest for comment in before)


def expanded(suite):
    """Written out, every pattern gives the same moves; again, the same text."""
    files = [path for path in patterns() if names_in(read(os.path.join(ROOT, path)))] + \
        [os.path.join(TESTS, "golden", part) for part in ("good/turns.slv", "good/names.slv", "good/kept.slv", "good/found.slv",
                                                          "format/legs.slv")]
    for path in files:
        path = os.path.join(ROOT, path)
        folder, text, name = os.path.dirname(path), read(path), os.path.basename(path)
        status, out, err = suite.run("expand", name, cwd=folder)
        suite.check(f"{name} is written out", status == 0 and out and err == b"" and b"on each side" not in
                    re.sub(rb'"[^"]*"|#.*', b"", out), err.decode())
        suite.check(f"{name}: written out twice is written out once",
                    suite.run("expand", "-", cwd=folder, stdin=out) == (0, out, b""))
        suite.check(f"{name} written out is in the layout", suite.run("format", "-", stdin=out) == (0, out, b""))
        suite.check(f"{name}: comments are kept", kept_in_order(words.comments(text.decode()), words.comments(out.decode())))
        for pattern in names_in(text):
            both = [exported(suite, folder, given, pattern, "legs") for given in (text, out)]
            found = isinstance(both[0], dict) and "found" in both[0]
            both = [as_strung(whole, found) for whole in both]
            suite.check(f"{pattern} written out is the same pattern", isinstance(both[0], dict) and
                        both[0] == both[1], both[1])
        changed = shuffle(random.Random(name), suite.run("format", name, cwd=folder)[1].decode()).encode()
        suite.check(f"{name}: spacing is nothing to expand",
                    suite.run("expand", "-", cwd=folder, stdin=changed) == (0, out, b""))
        one_by_one(suite, folder, name, out)


def one_by_one(suite, folder, name, wanted):
    """-p writes out one pattern and lays out the rest; all one after another give the whole."""
    text = read(os.path.join(folder, name))
    for pattern in names_in(text):
        status, text, err = suite.run("expand", "-", "-p", pattern, cwd=folder, stdin=text)
        suite.check(f"{pattern} is written out by itself", status == 0, err.decode())
    suite.check(f"{name}: one pattern after another gives the whole", text == wanted)


def run(suite):
    golden(suite)
    texts(suite)
    shipped(suite)
    shuffled(suite)
    expanded(suite)
