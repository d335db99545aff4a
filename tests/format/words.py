"""A small reader of the language's words, written apart from the compiler: words, statements, comments."""
import re

WORD = re.compile(r"""
    (?P<comment>\#[^\n]*) | (?P<title>"[^"\n]*") | (?P<feed>\n) | (?P<blank>[ \t\r\ufeff]+)
  | (?P<word>g/cm3 | \.\. | [0-9]+[HT]\b | [0-9]+(?:\.[0-9]+)? | [A-Za-z][A-Za-z0-9_-]* | [{},;+%-])
""", re.X)


def read(text):
    """[(kind, text)], kind one of comment, title, feed, word; blanks left out."""
    at, words = 0, []
    while at < len(text):
        match = WORD.match(text, at)
        if not match:
            raise ValueError(f"no word at {at}: {text[at:at + 20]!r}")
        if match.lastgroup != "blank":
            words.append((match.lastgroup, match.group()))
        at = match.end()
    return words


def comments(text):
    return [word.rstrip() for kind, word in read(text) if kind == "comment"]


def statements(text):
    """Every statement, head and brace as a list of its words. The commas of a list of holes are left out:
    they may stand or not."""
    lines, line = [], []
    words = [word for word in read(text) if word[0] != "comment"]

    def end():
        nonlocal line
        if line:
            lines.append([w for w in line if w != ","] if line[0] == "holes" else line)
        line = []

    for number, (kind, word) in enumerate(words):
        if kind == "feed":
            rest = next((w for k, w in words[number:] if k != "feed"), "")
            if rest != "{" and not (line and line[-1] == ","):
                end()
        elif kind == "word" and word in ";{}":
            end()
            lines += [[word]] if word != ";" else []
        else:
            line.append(word)
    end()
    return lines
