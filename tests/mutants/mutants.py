#!/usr/bin/python3
"""Every small slip of a hand: each shipped pattern with one thing of its legs or of its frame's hole lists
changed. A mutant must be refused with a code, or be sound after all, as reference/verify.py judges it over
its export. usage: mutants.py --selvage PATH [--jobs N] [--show] [PATTERN...]

The texts are cut up here by a few regular expressions; nothing is asked of the compiler but its verdict."""
import argparse
import json
import multiprocessing
import os
import re
import subprocess
import sys
import tempfile
import time
from collections import Counter, namedtuple

sys.path.insert(0, os.path.dirname(os.path.dirname(os.path.abspath(__file__))))
sys.dont_write_bytecode = True

from harness import ROOT  # noqa: E402
from reference.verify import verify  # noqa: E402

EVERY = 97  # of how many mutants one belongs to the sample of `make check`

TOKEN = re.compile(r'"[^"\n]*"|#[^\n]*|\.\.|[A-Za-z][A-Za-z0-9_-]*|[0-9]+(?:\.[0-9]+)?[HT]?|[^\s]')
END = {"long", "short", "left", "right", "cross"}
SIDES, PLACES = ("left", "right"), ("head", "throat")
OTHER = {"left": "right", "right": "left", "head": "throat", "throat": "head", "H": "T", "T": "H"}

Job = namedtuple("Job", "folder files main pattern")
Mutant = namedtuple("Mutant", "number pattern what file text")


# ---- texts cut up ----

def tokens_of(text):
    return [token for token in TOKEN.findall(text) if not token.startswith("#")]


def blocks(text):
    """The definitions of a text: [(kind, name, start of the body, end of the body)]."""
    found, pure = [], re.sub(r'#[^\n]*|"[^"\n]*"', lambda hit: " " * len(hit.group(0)), text)
    for hit in re.finditer(r"\b(frame|pattern|string|bench)\s+([a-z][a-z0-9-]*)[^{}\n]*\{", pure):
        found.append((hit.group(1), hit.group(2), hit.end(), pure.index("}", hit.end())))
    return found


def statements(body):
    """A body's statements as lists of tokens: they end at a line's end or at `;`, not after a comma."""
    rows, row = [], []
    for line in body.split("\n"):
        for token in tokens_of(line):
            if token == ";":
                rows, row = rows + [row], []
            else:
                row.append(token)
        if row and row[-1] != ",":
            rows, row = rows + [row], []
    return [row for row in rows + [row] if row]


def joined(rows):
    return "".join("  " + " ".join(row) + "\n" for row in rows).replace(" .. ", "..")


def commas(tokens):
    """Tokens between commas: a leg's items, a line's options."""
    parts = [[]]
    for token in tokens:
        if token == ",":
            parts.append([])
        else:
            parts[-1].append(token)
    return parts


def with_commas(parts):
    row = []
    for part in parts:
        row += ([","] if row and part else []) + part
    return row


def slots(tokens):
    """A hole list's slots: M1..M6, M9+C2, -."""
    row = []
    for token in tokens:
        if row and (token in ("..", "+") or row[-1][-1] in ("..", "+")):
            row[-1].append(token)
        elif token != ",":
            row.append([token])
    return row


def spelt_out(parts):
    """Items or slots with every run of strands written strand by strand: what stands before it is said of
    each, what stands behind it of the first."""
    row = []
    for part in parts:
        if ".." not in part:
            row.append(part)
            continue
        at = part.index("..")
        letter, first, last = part[at - 1][0], int(part[at - 1][1:]), int(part[at + 1][1:])
        step = 1 if last >= first else -1
        for number in range(first, last + step, step):
            row.append(part[:at - 1] + [f"{letter}{number}"] + (part[at + 2:] if number == first else []))
    return row


# ---- edits ----

def of_rows(rows):
    """Every list with one member dropped, doubled, or exchanged for its neighbour."""
    for i in range(len(rows)):
        yield "drop", rows[:i] + rows[i + 1:]
        yield "double", rows[:i + 1] + rows[i:]
        if i + 1 < len(rows):
            yield "swap", rows[:i] + [rows[i + 1], rows[i]] + rows[i + 2:]


def near(token):
    """A word with a number in it, one more and one less; a hole also at the other place, a strand of the
    other kind."""
    hit = re.fullmatch(r"([MC]?)(\d+)([HT]?)", token)
    if hit:
        for number in (int(hit.group(2)) - 1, int(hit.group(2)) + 1):
            if number >= 0:
                yield "number", f"{hit.group(1)}{number}{hit.group(3)}"
        if hit.group(3):
            yield "place", f"{hit.group(1)}{hit.group(2)}{OTHER[hit.group(3)]}"
        if hit.group(1):
            yield "kind", {"M": "C", "C": "M"}[hit.group(1)] + hit.group(2)


def of_words(row, keep=0):
    """Every word changed for the one that is mistaken for it."""
    for i in range(keep, len(row)):
        for what, word in near(row[i]):
            yield what, row[:i] + [word] + row[i + 1:]
        if row[i] in SIDES or row[i] in PLACES:
            yield "side" if row[i] in SIDES else "place", row[:i] + [OTHER[row[i]]] + row[i + 1:]
        if row[i] in SIDES and i > 0 and row[i - 1] != "from":
            yield "side", row[:i] + row[i + 1:]
        if re.fullmatch(r"[MC]\d+|\d+[HT]", row[i]) and row[i - 1] not in ("..", *SIDES):
            for side in SIDES:
                yield "side", row[:i] + [side] + row[i:]
        if row[i] == "..":
            yield "range", row[:i - 1] + [row[i + 1], "..", row[i - 1]] + row[i + 2:]
            yield "range", row[:i] + row[i + 2:]
            yield "range", row[:i - 1] + row[i + 1:]


def of_item(item, tie_offs):
    """One item of a leg: its verb, its `from`, what it passes first, its knot."""
    yield from of_words(item)
    words = list(item)
    if words[0] in ("start", "tie"):
        side = [word for word in words if word in SIDES]
        hole = next(i for i, word in enumerate(words) if re.fullmatch(r"\d+[HT]", word))
        for other in tie_offs:
            for before in [[], ["left"], ["right"]]:
                yield "knot", [words[0]] + before + [other] + words[hole + 1:]
        if words[0] == "start":
            for kind in ([], ["knot"], ["clamp"]):
                yield "start", [words[0]] + side + [words[hole]] + kind
        yield "start", [{"start": "tie", "tie": "start"}[words[0]]] + words[1:]
        return
    if words[0] in ("pull", "thread") and "ahead" in words:
        yield "option", [OTHER.get(words[0], "thread" if words[0] == "pull" else "pull")] + words[1:]
        return
    verb = [words[0]] if words[0] in ("pull", "thread") else []
    for other in ([], ["pull"], ["thread"]):
        if other != verb:
            yield "verb", other + words[len(verb):]
    cut = next((i for i, word in enumerate(words) if word in ("from", "over", "under")), len(words))
    core, rest = words[:cut], words[cut:]
    enters = rest[:2] if rest[:1] == ["from"] else []
    first = rest[len(enters):]
    for other in [[]] + [["from", word] for word in SIDES + PLACES]:
        if other != enters:
            yield "from", core + other + first
    for other in ([], ["over", "first"], ["under", "first"]):
        if other != first:
            yield "first", core + enters + other


def of_options(parts, extra):
    """A line's options: each dropped, doubled, exchanged, changed; one more added."""
    for what, rows in of_rows(parts):
        yield what, with_commas(rows)
    for i, part in enumerate(parts):
        for what, new in of_words(part):
            yield what, with_commas(parts[:i] + [new] + parts[i + 1:])
        if part[-1:] == ["first"]:
            for end in END:
                yield "end", with_commas(parts[:i] + [[end, "first"]] + parts[i + 1:])
        if "then" in part:
            yield "option", with_commas(parts[:i] + [part[:part.index("then")]] + parts[i + 1:])
    for part in extra:
        yield "option", with_commas(parts + [part])


def of_statement(row, tie_offs):
    """One line of a pattern's block."""
    if row[0] in END:
        for end in END:
            if end != row[0]:
                yield "end", [end] + row[1:]
        for items in (commas(row[1:]), spelt_out(commas(row[1:]))):
            for what, rows in of_rows(items):
                yield what, [row[0]] + with_commas(rows)
            for i, item in enumerate(items):
                for what, new in of_item(item, tie_offs):
                    yield what, [row[0]] + with_commas(items[:i] + [new] + items[i + 1:])
        for option in (["thread", "1", "ahead"], ["thread", "2", "ahead"]):
            yield "option", [row[0]] + with_commas(items + [option])
    elif row[:2] == ["mains", "from"]:
        yield from ((what, row[:3] + ([","] if new else []) + new) for what, new in of_options(
            commas(row[4:]) if len(row) > 3 else [],
            [["pull", "2", "ahead"], ["thread", "1", "ahead"]] + [[end, "first"] for end in sorted(END)]))
        yield "place", row[:2] + [OTHER[row[2]]] + row[3:]
    elif row[:2] == ["crosses", "from"]:
        yield "place", row[:2] + [OTHER[row[2]]] + row[3:]
        yield "skip", row[:3]
        for i in range(4, len(row)):
            for what, word in near(row[i]):
                yield what, row[:i] + [word] + row[i + 1:]
        for strand in ("C1", "C2", "C18"):
            yield "skip", row + ([",", "skip"] if len(row) == 3 else [","]) + [strand]
    elif row[:2] in (["one", "piece"], ["two", "pieces"]):
        yield "pieces", ["two", "pieces"] if row[0] == "one" else ["one", "piece"]
        for side in ([], [",", "long", "side", "left"], [",", "long", "side", "right"]):
            yield "side", ["one", "piece"] + side


def of_pattern(body, tie_offs):
    rows = statements(body)
    moved = [i for i, row in enumerate(rows) if row[0] in END or row[0] in ("mains", "crosses", "one", "two")]
    for i in moved:
        for what, new in of_statement(rows[i], tie_offs):
            yield what, joined(rows[:i] + [new] + rows[i + 1:])
        yield "drop line", joined(rows[:i] + rows[i + 1:])
        yield "double line", joined(rows[:i + 1] + rows[i:])
    for i, k in zip(moved, moved[1:]):
        swapped = list(rows)
        swapped[i], swapped[k] = rows[k], rows[i]
        yield "swap lines", joined(swapped)


def of_holes(row):
    start = next(i for i, word in enumerate(row) if word in PLACES) + 1
    head, parts = row[:start], slots(row[start:])
    yield "place", [word if word not in PLACES else OTHER[word] for word in head] + row[start:]
    for side in SIDES:
        yield "side", ["holes", side] + [word for word in head[1:] if word not in SIDES] + row[start:]

    def flat(rows):
        return head + [token for slot in rows for token in slot]
    for what, rows in of_rows(parts):
        yield what, flat(rows)
    parts = spelt_out(parts)
    for what, rows in of_rows(parts):
        yield what, flat(rows)
    for i in range(len(parts) + 1):
        yield "unused", flat(parts[:i] + [["-"]] + parts[i:])
    for i, slot in enumerate(parts):
        for what, new in of_words(slot):
            yield what, flat(parts[:i] + [new] + parts[i + 1:])
        yield "unused", flat(parts[:i] + [["-"]] + parts[i + 1:])
        if "+" in slot:
            for new in ([[slot[0]], [slot[2]]], [[slot[0]]], [[slot[2]]], [[slot[2], "+", slot[0]]]):
                yield "share", flat(parts[:i] + new + parts[i + 1:])
        elif i + 1 < len(parts) and len(slot) == len(parts[i + 1]) == 1 and "-" not in (slot[0], parts[i + 1][0]):
            yield "share", flat(parts[:i] + [slot + ["+"] + parts[i + 1]] + parts[i + 2:])


def of_frame(body):
    rows = statements(body)
    for i, row in enumerate(rows):
        edits = []
        if row[0] == "holes":
            edits = of_holes(row)
        elif row[0] == "tie-off":
            edits = ((what, row[:1] + new) for what, new in of_options(commas(row[1:]), []))
        elif row[0] == "lanes":
            edits = of_words(row)
        for what, new in edits:
            yield what, joined(rows[:i] + [new] + rows[i + 1:])
        if row[0] in ("holes", "tie-off", "lanes", "guide"):
            yield "drop line", joined(rows[:i] + rows[i + 1:])


# ---- mutants of the shipped patterns ----

def read(path):
    with open(path, encoding="utf-8") as file:
        return file.read()


def used(folder, name, texts):
    """A file with all it uses, by name."""
    if name not in texts:
        texts[name] = read(os.path.join(folder, name))
        for path in re.findall(r'^use\s+"([^"]+)"', texts[name], re.M):
            used(folder, os.path.normpath(os.path.join(os.path.dirname(name), path)), texts)
    return texts


def shipped():
    """[(folder, texts by name, file, pattern)] of every shipped pattern; the other patterns of its file are
    taken out, so that every finding is about this one."""
    folder, jobs = os.path.join(ROOT, "patterns"), []
    for name in sorted(os.listdir(folder)):
        text = read(os.path.join(folder, name))
        names = [block[1] for block in blocks(text) if block[0] == "pattern"]
        for pattern in names:
            own = text
            for other in names:
                if other != pattern:
                    own = re.sub(rf"^pattern {re.escape(other)} [^{{]*\{{[^}}]*\}}\n", "", own, flags=re.M)
            jobs.append(Job(folder, dict(used(folder, name, {}), **{name: own}), name, pattern))
    return jobs


def mutants_of(job):
    """Every mutant once: [(what, file, text)]."""
    text = job.files[job.main]
    kind, name, start, end = next(b for b in blocks(text) if b[:2] == ("pattern", job.pattern))
    frame_name = re.search(rf"pattern {re.escape(job.pattern)}\b[^{{]*\bfor\s+([a-z0-9-]+)", text).group(1)
    file, frame = next((file, block) for file, other in job.files.items() for block in blocks(other)
                       if block[:2] == ("frame", frame_name))
    frame_body = job.files[file][frame[2]:frame[3]]
    tie_offs = [hole for row in statements(frame_body) if row[0] == "tie-off" for hole in row if re.fullmatch(r"\d+[HT]", hole)]
    seen, made = {(job.main, tuple(tokens_of(text))), (file, tuple(tokens_of(job.files[file])))}, []

    def add(what, where, new):
        key = where, tuple(tokens_of(new))
        if key not in seen:
            seen.add(key)
            made.append((what, where, new))
    # the text as it is put together again must mean the same
    assert tokens_of(joined(statements(text[start:end]))) == [t for t in tokens_of(text[start:end]) if t != ";"]
    for what, body in of_pattern(text[start:end], tie_offs):
        add(what, job.main, text[:start] + "\n" + body + text[end:])
    for what, body in of_frame(frame_body):
        other = job.files[file]
        add("frame: " + what, file, other[:frame[2]] + "\n" + body + other[frame[3]:])
    return made


# ---- verdicts ----

def judge(selvage, job, mutant):
    """(verdict, detail): refused, accepted, wrong or crashed."""
    with tempfile.TemporaryDirectory() as folder:
        for name, text in dict(job.files, **{mutant.file: mutant.text}).items():
            path = os.path.join(folder, name)
            os.makedirs(os.path.dirname(path), exist_ok=True)
            with open(path, "w", encoding="utf-8") as file:
                file.write(text)
        try:
            done = subprocess.run([selvage, "export", job.main, "-p", job.pattern], cwd=folder,
                                  capture_output=True, timeout=20)
        except subprocess.TimeoutExpired:
            return "crashed", "does not end"
    said = done.stderr.decode("utf-8", "replace")
    if done.returncode == 1:
        code = re.search(r"\berror: .* \[(SV-\d+)\]$", said, re.M)
        faulty = "SV-901" in said or "SV-314" in said or not code or done.stdout
        return ("crashed", said) if faulty else ("refused", code.group(1))
    if done.returncode != 0:
        return "crashed", f"exit status {done.returncode}\n{said}"
    try:
        faults = verify(json.loads(done.stdout))
    except (ValueError, KeyError, IndexError, StopIteration, ZeroDivisionError) as error:
        faults = [f"the verifier stumbles: {error!r}"]
    return ("wrong", "\n".join(faults)) if faults else ("accepted", said)


def changed(mutant):
    """The statements that are not those of the shipped file, and the number of those gone."""
    job = next(job for job in shipped() if job.pattern == mutant.pattern)
    old, new = Counter(), Counter()
    for text, rows in ((job.files[mutant.file], old), (mutant.text, new)):
        rows.update(" ".join(row) for row in statements(text))
    return "\n".join([f"  - {row}" for row in old - new] + [f"  + {row}" for row in new - old]) or "  an order of lines"


def work(task):
    selvage, job, rows = task
    return [(mutant, *judge(selvage, job, mutant)) for mutant in rows]


def tasks(selvage, names=(), every=1):
    """Mutants in parcels; of all of them every `every`th."""
    found, number = [], 0
    for job in shipped():
        if names and job.pattern not in names:
            continue
        rows = []
        for what, file, text in mutants_of(job):
            number += 1
            if number % every == 0:
                rows.append(Mutant(number, job.pattern, what, file, text))
        found += [(selvage, job, rows[i:i + 40]) for i in range(0, len(rows), 40)]
    return found


def run(suite):
    """The sample: a few hundred mutants, always the same."""
    rows = [row for task in tasks(suite.selvage, every=EVERY) for row in work(task)]
    for mutant, verdict, detail in rows:
        suite.check(f"mutant {mutant.number} of {mutant.pattern} ({mutant.what}) is {verdict}",
                    verdict in ("refused", "accepted"), detail + "\n" + mutant.text)
    verdicts = Counter(verdict for _, verdict, _ in rows)
    suite.check("the sample has mutants of both kinds", verdicts["refused"] > 50 and verdicts["accepted"] > 5, verdicts)


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("--selvage", default="build/selvage")
    parser.add_argument("--jobs", type=int, default=os.cpu_count())
    parser.add_argument("--show", action="store_true", help="print every accepted mutant too")
    parser.add_argument("patterns", nargs="*")
    words = parser.parse_args()
    start = time.monotonic()
    counts, codes, kinds = {}, Counter(), Counter()
    with multiprocessing.Pool(words.jobs) as pool:
        for rows in pool.imap(work, tasks(os.path.abspath(words.selvage), words.patterns)):
            for mutant, verdict, detail in rows:
                counts.setdefault(mutant.pattern, Counter())[verdict] += 1
                if verdict == "refused":
                    codes[detail] += 1
                if verdict == "accepted":
                    kinds[mutant.what] += 1
                if verdict in ("wrong", "crashed") or (words.show and verdict == "accepted"):
                    print(f"---- {verdict}: {mutant.pattern}, {mutant.what}\n{changed(mutant)}\n{detail}")
    print(f"{'pattern':16} {'made':>6} {'refused':>8} {'still legal':>12} {'wrong':>6} {'crashed':>8}")
    total = Counter()
    for name, row in [*counts.items(), ("all", None)]:
        row = total if row is None else row
        if row is not total:
            total += row
        print(f"{name:16} {sum(row.values()):6} {row['refused']:8} {row['accepted']:12} {row['wrong']:6} {row['crashed']:8}")
    print("refused by " + ", ".join(f"{code} {count}" for code, count in codes.most_common()))
    print("still legal: " + ", ".join(f"{what} {count}" for what, count in kinds.most_common()))
    print(f"{time.monotonic() - start:.0f} s, {words.jobs} at a time")
    return 1 if total["wrong"] or total["crashed"] or not total["refused"] else 0


if __name__ == "__main__":
    sys.exit(main())
