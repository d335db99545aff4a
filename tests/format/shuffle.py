"""Spacing changed at random where it means nothing: blanks, line ends, semicolons, empty lines."""
import re

from format.words import read

NEEDS_NO_BLANK = {",", "..", "{", "}", "+"}


def gap(random, before, after):
    """Blanks between two words of a line: none only where the words stay two."""
    free = before in NEEDS_NO_BLANK or after in NEEDS_NO_BLANK
    glued = re.fullmatch(r"[0-9.]+", before) and after in ("mm", "cm", "lb", "kg", "%", "N")
    least = 0 if free or glued else 1
    return "".join(random.choice(" \t") if random.random() < 0.3 else " "
                   for _ in range(random.choice((least, 1, 1, 2, 5))))


def feed(random):
    return random.choice(("\n", "\n", "\r\n", " \n", "\t\r\n"))


def blank_lines(random, least, most):
    return "".join(random.choice(("", "", "  ", "\t")) + feed(random) for _ in range(random.randint(least, most)))


def shuffle_line(random, line, breaks):
    """A line with other blanks, and broken behind some commas; False where it ends with a comment."""
    out, before = random.choice(("", " ", "\t", "      ")), ""
    for kind, word in read(line):
        if kind == "comment":
            out += random.choice(("", " ", "   ", "\t")) + word + random.choice(("", " ", " \t"))
            return out, False
        if before:
            out += gap(random, before, word)
        if before == "," and breaks and random.random() < 0.2:
            out += feed(random) + random.choice(("", " ", "\t\t"))
        out += word
        before = word
    return out, True


def kind_of(line):
    bare = line.strip()
    if not bare:
        return "blank"
    if bare.startswith("#"):
        return "comment"
    if re.search(r"\{.*\}", re.sub(r'"[^"]*"|#.*', "", bare)):
        return "one line"
    words = re.sub(r'"[^"]*"|#.*', "", bare).rstrip()
    return "open" if words.endswith("{") else "close" if words == "}" else "statement"


def shuffle(random, text):
    """A text in the layout with its spacing changed; laying it out again must give `text` back."""
    lines, out = text.splitlines(), ""
    kinds = [kind_of(line) for line in lines]
    inside = False
    for number, (line, kind) in enumerate(zip(lines, kinds)):
        following = kinds[number + 1] if number + 1 < len(lines) else "end"
        if kind == "blank":
            out += blank_lines(random, 1, 3)
            continue
        words, bare = shuffle_line(random, line, kind != "one line")
        if kind == "open":
            inside = True
            if bare and random.random() < 0.3:
                words = words[:words.rindex("{")] + feed(random) + "{"
            out += words + feed(random) + blank_lines(random, 0, 2)
            continue
        if kind == "close":
            inside = False
        continued = inside and line.rstrip().endswith(",")
        joins = bare and inside and kind == "statement" and not continued and following in ("statement", "close")
        if joins and random.random() < 0.3:
            out += words + random.choice((" ", "")) + (";" if following == "statement" else random.choice(("", ";")))
            continue
        out += words + (random.choice(("", "", ";")) if bare and not continued else "") + feed(random)
        if following == "close":
            out += blank_lines(random, 0, 2)
    return out
