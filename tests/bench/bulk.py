#!/usr/bin/python3
"""Makes large texts of the same size and matter: FOLDER/bulk.slv, bulk.xml, bulk.dts; the first in parts,
FOLDER/texts; and a folder of ten thousand files, FOLDER/many. usage: bulk.py MEGABYTES FOLDER SOURCE...
(pattern files: they are repeated with their names numbered, so that the text can be read)"""
import os
import re
import sys
from xml.sax.saxutils import escape

DEFINITION = re.compile(r"^(frame|string|bench|pattern) ([a-z0-9-]+)", re.M)
FILES = 10000
TEXTS = 25


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


def node(lines):
    """The same as a device tree: a definition is a node, a statement a property with its words as strings."""
    out, count = [], 0
    for line in lines:
        bare, _, comment = line.partition("#")
        first, _, rest = bare.strip().partition(" ")
        if comment:
            out.append(f"/* {comment.replace('*/', '')} */")
        if first == "}":
            out.append("};")
        elif DEFINITION.match(line):
            count = 0
            out.append(f"{first}-{re.sub('[^a-z0-9]+', '-', rest)[:20]}-@ {{".replace("-@", ""))
        elif re.fullmatch("[a-z-]+", first):
            count += 1
            words = ", ".join(f'"{word}"' for word in re.sub('["\\\\]', "", rest).split()) or '""'
            out.append(f"{first}-{count} = {words};")
    return "\n".join(out)


def definitions(text):
    """Whole definitions, without `use` and what stands between."""
    return re.findall(r"^(?:frame|string|bench|pattern) .*?(?:^}|}$)", text, re.M | re.S)


def repeat(path, most, head, part, tail):
    with open(path, "w", encoding="utf-8") as file:
        done = file.write(head)
        number = 0
        while done < most:
            number += 1
            done += file.write(part(number))
        file.write(tail)


def many_files(folder, text):
    """Frames of the text, each with one of its patterns, in folders of a thousand."""
    frames = {re.match(r"frame (\S+)", d).group(1): d for d in definitions(text) if d.startswith("frame")}
    kit = [(d.split()[1], d) for d in definitions(text) if d.startswith(("string", "bench"))]
    jobs = [(frames[re.search(r" for (\S+)", d).group(1)], d) for d in definitions(text) if d.startswith("pattern")]
    for number in range(FILES):
        below = os.path.join(folder, f"{number // 1000}")
        os.makedirs(below, exist_ok=True)
        frame, pattern = jobs[number % len(jobs)]
        used = "\n".join(d for name, d in kit if re.search(rf"^  .*\b{name}\b(?!-)", pattern, re.M))
        with open(os.path.join(below, f"{number}.slv"), "w", encoding="utf-8") as file:
            file.write(f"# {number}\n{used}\n{frame}\n\n{pattern}\n")


def main():
    size, folder, *sources = sys.argv[1:]
    most = int(size) * 1000 * 1000
    text = ""
    for path in sources:
        with open(path, encoding="utf-8") as file:
            text += re.sub(r"^use .*\n", "", file.read(), flags=re.M) + "\n"
    xml, dts = "".join(map(element, text.splitlines())), node(text.splitlines())
    names = "|".join(re.escape(name) for _, name in DEFINITION.findall(text))
    numbered = re.sub(rf"\b({names})\b(?!-)(?=[^\"]*(?:\"[^\"\n]*\"[^\"\n]*)*$)", r"\1-@", text, flags=re.M)
    repeat(f"{folder}/bulk.slv", most, "", lambda n: numbered.replace("-@", f"-{n}"), "")
    repeat(f"{folder}/bulk.xml", most, "<bulk>", lambda n: xml, "</bulk>\n")
    repeat(f"{folder}/bulk.dts", most, "/dts-v1/;\n/ {\n", lambda n: f"g{n} {{\n{dts}\n}};\n", "};\n")
    os.makedirs(f"{folder}/texts", exist_ok=True)
    for part in range(TEXTS):  # as large as a text may be that is compiled
        repeat(f"{folder}/texts/{part}.slv", most / TEXTS, "", lambda n: numbered.replace("-@", f"-{n}"), "")
    many_files(f"{folder}/many", text)


if __name__ == "__main__":
    main()
