#!/usr/bin/python3
"""Makes a large text, and an XML file of the same size and matter. usage: bulk.py MEGABYTES TEXT XML SOURCE...
(pattern files: they are repeated with their names numbered, so that the text can be read)"""
import re
import sys
from xml.sax.saxutils import escape

DEFINITION = re.compile(r"^(frame|string|bench|pattern) ([a-z0-9-]+)", re.M)


def element(line):
    """A line as XML: a definition opens an element, "}" closes it, a statement is one."""
    bare, _, comment = line.partition("#")
    first, _, rest = bare.strip().partition(" ")
    out = f"<!--{comment.replace('-', ' ')}-->" if comment else ""
    if first == "}":
        return out + "</definition>"
    if DEFINITION.match(line):
        return out + f"<definition kind='{first}'><head>{escape(rest.rstrip(' {'))}</head>"
    return out + (f"<{first}>{escape(rest.strip())}</{first}>" if re.fullmatch("[a-z-]+", first) else "")


def main():
    size, text_path, xml_path, *sources = sys.argv[1:]
    most = int(size) * 1000 * 1000
    text = ""
    for path in sources:
        with open(path, encoding="utf-8") as file:
            text += re.sub(r"^use .*\n", "", file.read(), flags=re.M) + "\n"
    xml = "".join(map(element, text.splitlines()))
    with open(text_path, "w", encoding="utf-8") as file:
        done = number = 0
        while done < most:
            number += 1
            done += file.write(DEFINITION.sub(rf"\1 \2-{number}", text))
    with open(xml_path, "w", encoding="utf-8") as file:
        done = file.write("<bulk>")
        while done < most:
            done += file.write(xml)
        file.write("</bulk>\n")


if __name__ == "__main__":
    main()
