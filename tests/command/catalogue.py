"""The verb catalogue from outside: what is written, what is left, what is removed, what is refused."""
import html.parser
import os
import re
import resource
import signal
import subprocess
import tempfile
import time
import xml.etree.ElementTree

from command.command import SMALL, BROKEN, read, status, write
from command.memory import once
from harness import ROOT, TESTS

MANIFEST = "selvage-catalogue.txt"
FILES = ["index.html", "try.steps.txt", "try.steps.md", "try.steps.csv", "try.svg", "try.dot", "try.json",
         "bench.html"]
XHTML = "{http://www.w3.org/1999/xhtml}"


def named(name, title=b""):
    """The small pattern under another name."""
    return SMALL.replace(b"pattern try", b"pattern " + name + title)


def tree(folder):
    """Every file below a folder and what it holds."""
    return {os.path.relpath(os.path.join(base, name), folder): read(os.path.join(base, name))
            for base, _, names in os.walk(folder) for name in names}


def times(folder):
    return {os.path.join(base, name): os.stat(os.path.join(base, name)).st_mtime_ns
            for base, _, names in os.walk(folder) for name in names}


def catalogue(suite, what, wanted, *words, cwd=None):
    return status(suite, what, wanted, "catalogue", *words, cwd=cwd or ROOT)


def said(suite, what, out, written, unchanged, removed):
    counts = re.search(rb": (\d+) patterns?, (\d+) files? written, (\d+) unchanged, (\d+) removed\n$", out)
    got = tuple(int(count) for count in counts.groups()[1:]) if counts else None
    suite.check(f"{what}: {written} written, {unchanged} unchanged, {removed} removed",
                got == (written, unchanged, removed), out)


class Reader(html.parser.HTMLParser):
    """Sees that what is opened is closed, in order, and that no number is given twice."""
    VOID = {"meta", "img", "input", "br", "link"}

    def __init__(self):
        super().__init__()
        self.open, self.wrong, self.ids = [], [], []

    def handle_starttag(self, tag, attributes):
        self.ids += [value for name, value in attributes if name == "id"]
        if tag not in self.VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag, attributes):
        self.ids += [value for name, value in attributes if name == "id"]

    def handle_endtag(self, tag):
        if not self.open or self.open.pop() != tag:
            self.wrong.append(tag)


def well_formed(suite, what, page):
    """A page read as XML, after a look at it as HTML; None where it cannot be."""
    reader = Reader()
    reader.feed(page.decode())
    reader.close()
    suite.check(f"{what} is HTML whose tags are closed", not reader.wrong and not reader.open,
                (reader.wrong, reader.open))
    suite.check(f"{what} has no number twice", len(set(reader.ids)) == len(reader.ids), reader.ids)
    try:
        parsed = xml.etree.ElementTree.fromstring(page.decode())
    except xml.etree.ElementTree.ParseError as error:
        suite.check(f"{what} is well-formed XML", False, error)
        return None
    suite.check(f"{what} is well-formed XML", True)
    return parsed


def links(parsed):
    return [element.get(name) for element in parsed.iter() for name in ("href", "src") if element.get(name)]


def shipped(suite, folder):
    """The catalogue of the shipped patterns: golden index and page, every link leads somewhere."""
    site = os.path.join(folder, "site")
    out, err = catalogue(suite, "catalogue of the shipped patterns", 0, "patterns", "-o", site)
    said(suite, "shipped patterns", out, 105, 0, 0)
    suite.check("nothing is found in them", err == b"", err)
    golden = os.path.join(TESTS, "golden", "catalogue")
    suite.golden("index of the shipped patterns", os.path.join(golden, "index.html"),
                 read(os.path.join(site, "index.html")))
    suite.golden("page of kestrel-world", os.path.join(golden, "kestrel-world.html"),
                 read(os.path.join(site, "kestrel-world/index.html")))
    titles = []
    for base, _, names in os.walk(site):
        for name in names:
            if name != "index.html":
                continue
            parsed = well_formed(suite, os.path.relpath(os.path.join(base, name), site), read(os.path.join(base, name)))
            if parsed is None:
                continue
            lost = [link for link in links(parsed) if not link.startswith("#") and
                    not os.path.isfile(os.path.join(base, link.split("#")[0]))]
            suite.check(f"every link of {base} leads to a file", not lost, lost)
            outside = [link for link in links(parsed) if ":" in link.split("#")[0]]
            suite.check(f"no link of {base} leads outside", not outside, outside)
            if base == site:
                titles = [h2.find(f"{XHTML}a").text for h2 in parsed.iter(f"{XHTML}h2")]
    suite.check("every pattern is listed, in the order of titles",
                len(titles) == 13 and titles == sorted(titles, key=str.lower), titles)
    index = read(os.path.join(site, "index.html"))
    suite.check("pages remind of eye protection", b"eye protection" in index and all(
        b"eye protection" in read(os.path.join(site, name, "index.html")) for name in
        ("kestrel-world", "pike-two")))
    suite.check("pages ask for nothing outside", b"http" not in re.sub(rb'xmlns="[^"]*"', b"", index))
    bench, _ = status(suite, "page", 0, "page", "patterns/kestrel.slv", "-p", "kestrel-world")
    suite.check("the bench page is that of selvage page",
                read(os.path.join(site, "kestrel-world/bench.html")) == bench)
    other = os.path.join(folder, "other")
    status(suite, "in another locale", 0, "catalogue", "patterns", "-o", other,
           env={"LC_ALL": "de_DE.UTF-8", "TZ": "Asia/Tokyo", "MALLOC_PERTURB_": "165"})
    suite.check("a catalogue is the same at every run", tree(site) == tree(other))


def again(suite, folder):
    """Only what changed is compiled and written."""
    shop, site = os.path.join(folder, "shop"), os.path.join(folder, "site")
    os.makedirs(os.path.join(shop, "deep"))
    write(shop, "a.slv", b'use "deep/kit.slv"\n' + named(b"one"))
    write(shop, "b.slv", named(b"two"))
    write(shop, "deep/kit.slv", b'string thin "Thin" { gauge 1.1 mm; stretch 10 % at 25 lb }\n')
    out, _ = catalogue(suite, "first run", 0, "shop", "-o", "site", cwd=folder)
    said(suite, "first run", out, 17, 0, 0)
    first, before = tree(site), times(site)
    out, err = catalogue(suite, "second run", 0, "shop", "-o", "site", cwd=folder)
    said(suite, "second run", out, 0, 17, 0)
    suite.check("a second run touches nothing", times(site) == before and err == b"")
    write(shop, "b.slv", named(b"two", b' "A title"'))
    out, _ = catalogue(suite, "a changed file", 0, "shop", "-o", "site", cwd=folder)
    after = times(site)
    changed = {os.path.relpath(path, site) for path in after if after[path] != before[path]}
    suite.check("what belongs to it changes, no more",
                {name.split("/")[0] for name in changed} == {"index.html", MANIFEST, "two"}, changed)
    write(shop, "b.slv", named(b"two"))
    catalogue(suite, "changed back", 0, "shop", "-o", "site", cwd=folder)
    suite.check("changed back, all is as it was", tree(site) == first)
    write(shop, "deep/kit.slv", b'string thin "Thinner" { gauge 1.0 mm; stretch 10 % at 25 lb }\n')
    write(shop, "a.slv", b'use "deep/kit.slv"\n' + named(b"one").replace(b"tension 25", b"string thin; tension 25"))
    catalogue(suite, "a string that is used", 0, "shop", "-o", "site", cwd=folder)
    write(shop, "deep/kit.slv", b'string thin "Thin again" { gauge 1.0 mm; stretch 10 % at 25 lb }\n')
    catalogue(suite, "a used file that changed", 0, "shop", "-o", "site", cwd=folder)
    suite.check("pages follow a used file", b"Thin again" in read(os.path.join(site, "index.html")) and
                b"Thin again" in read(os.path.join(site, "one/one.steps.txt")))
    whole = tree(site)
    for name in ["index.html"] + ["one/" + name.replace("try", "one") for name in FILES]:
        os.remove(os.path.join(site, name))
        out, _ = catalogue(suite, f"{name} was deleted", 0, "shop", "-o", "site", cwd=folder)
        suite.check(f"{name} is made again, alone", tree(site) == whole and b" 1 file written" in out, out)
        if name == "index.html":
            continue
        write(site, name, whole[name][:-9])
        out, err = catalogue(suite, f"{name} was changed", 2, "shop", "-o", "site", cwd=folder)
        suite.check(f"{name} is named and left", name.encode() in err and b" 0 files written" in out and
                    read(os.path.join(site, name)) == whole[name][:-9], out + err)
        write(site, name, whole[name])
        catalogue(suite, f"{name} is as it was", 0, "shop", "-o", "site", cwd=folder)
    out, _ = catalogue(suite, "other wishes", 0, "shop", "-o", "site", "--mirror", cwd=folder)
    suite.check("other wishes make other pages", tree(site) != whole)
    catalogue(suite, "the first wishes again", 0, "shop", "-o", "site", cwd=folder)
    suite.check("and back", tree(site) == whole)


def removal(suite, folder):
    """What nothing makes any more goes, and nothing else does."""
    shop, site = os.path.join(folder, "shop"), os.path.join(folder, "site")
    os.makedirs(shop)
    for name in (b"one", b"two", b"three"):
        write(shop, name.decode() + ".slv", named(name))
    os.makedirs(os.path.join(site, "mine"))
    write(site, "mine/index.html", b"<p>mine</p>")
    write(site, "notes.txt", b"mine")
    catalogue(suite, "a folder that holds other files", 0, shop, "-o", site)
    write(site, "two/notes.txt", b"mine too")
    os.remove(os.path.join(shop, "one.slv"))
    os.remove(os.path.join(shop, "two.slv"))
    out, _ = catalogue(suite, "two files gone", 0, shop, "-o", site)
    said(suite, "two files gone", out, 1, 8, 16)
    suite.check("their pages are gone, what is foreign is not",
                sorted(os.listdir(site)) == ["index.html", "mine", "notes.txt", MANIFEST, "three", "two"] and
                os.listdir(os.path.join(site, "two")) == ["notes.txt"] and
                read(os.path.join(site, "mine/index.html")) == b"<p>mine</p>", os.listdir(site))
    index = read(os.path.join(site, "index.html"))
    suite.check("the index lists what there is", b"three/index.html" in index and b"one/index.html" not in index)
    # the folder of a pattern is taken by somebody else's page
    write(shop, "mine.slv", named(b"mine"))
    out, err = catalogue(suite, "a foreign page where a pattern's would be", 2, shop, "-o", site)
    suite.check("a foreign page is not written over", read(os.path.join(site, "mine/index.html")) == b"<p>mine</p>" and
                os.listdir(os.path.join(site, "mine")) == ["index.html"] and b"mine/index.html" in err, err)
    os.remove(os.path.join(shop, "mine.slv"))
    catalogue(suite, "without it", 0, shop, "-o", site)
    suite.check("nor removed", read(os.path.join(site, "mine/index.html")) == b"<p>mine</p>")
    foreign = os.path.join(folder, "foreign")
    os.makedirs(foreign)
    write(foreign, "index.html", b"<p>a site</p>")
    _, err = catalogue(suite, "a folder with an index of its own", 2, shop, "-o", foreign)
    suite.check("is left as it is", tree(foreign) == {"index.html": b"<p>a site</p>"} and b"index.html" in err, err)
    # a pattern moves to another file
    write(shop, "moved.slv", named(b"three"))
    os.remove(os.path.join(shop, "three.slv"))
    out, _ = catalogue(suite, "a pattern moved to another file", 0, shop, "-o", site)
    suite.check("its pages stay", b" 0 removed" in out and os.path.exists(os.path.join(site, "three/bench.html")), out)
    link = os.path.join(folder, "victim")
    os.makedirs(link)
    for name in FILES:
        write(link, name, b"precious")
    manifest = read(os.path.join(site, MANIFEST)).replace(b"pattern three", b"pattern ../victim")
    write(site, MANIFEST, manifest)
    catalogue(suite, "a manifest that names other folders", 0, shop, "-o", site)
    suite.check("leads nowhere", all(read(os.path.join(link, name)) == b"precious" for name in FILES))


def damage(suite, folder):
    """A manifest that cannot be trusted is made anew; a run that was ended is mended."""
    shop, site = os.path.join(folder, "shop"), os.path.join(folder, "site")
    os.makedirs(shop)
    write(shop, "a.slv", named(b"one") + named(b"two")[SMALL.index(b"pattern"):])
    catalogue(suite, "first run", 0, shop, "-o", site)
    whole = tree(site)
    good = whole[MANIFEST]
    suite.check("a manifest has no date", b"version 0." in good and not re.search(rb"20\d\d-", good))
    for what, bad in (("empty", b""), ("cut short", good[:-20]), ("without its end", good[:good.rindex(b"end ")]),
                      ("changed", good.replace(b"pattern two", b"pattern tow")), ("of another form", b"\0" + good),
                      ("foreign", b"{}\n"), ("of another version", good.replace(b"catalogue 2", b"catalogue 1"))):
        write(site, MANIFEST, bad)
        os.remove(os.path.join(site, "two/two.svg"))
        out, err = catalogue(suite, f"a manifest that is {what}", 0, shop, "-o", site)
        suite.check(f"a manifest that is {what} is made anew", tree(site) == whole and err == b"", err)
        said(suite, f"a manifest that is {what}", out, 1, 16, 0)
    # the note of a run that did not end: its files are known
    write(site, MANIFEST, good + b"note three/4 865b7478db00e67c-4\nnote three/5 a38f1d2")
    os.makedirs(os.path.join(site, "three"))
    write(site, "three/three.svg", b"full")
    write(site, "selvage-catalogue.part", b"half")
    out, _ = catalogue(suite, "after a run that was ended", 0, shop, "-o", site)
    suite.check("what it left is cleared away", tree(site) == whole and not os.path.exists(
        os.path.join(site, "three")), sorted(tree(site)))


def ended(suite, folder):
    """A run that is ended at some moment leaves whole files, and the next one mends what is missing."""
    if suite.valgrind:
        return
    shop, site, model = (os.path.join(folder, name) for name in ("shop", "site", "model"))
    os.makedirs(shop)
    for i in range(60):
        write(shop, f"p{i:02}.slv", named(b"p%02d" % i))
    catalogue(suite, "sixty files", 0, shop, "-o", model)
    whole = tree(model)
    torn = set()
    for i, how in enumerate([signal.SIGTERM, signal.SIGINT, signal.SIGKILL] * 4):
        run = subprocess.Popen([suite.selvage, "catalogue", shop, "-o", site], stdout=subprocess.PIPE,
                               stderr=subprocess.PIPE)
        time.sleep(0.004 * (i + 1))
        run.send_signal(how)
        run.communicate()
        torn |= {name for name, content in tree(site).items() if name in whole and name not in (MANIFEST, "index.html")
                 and content != whole[name]}
        if how != signal.SIGKILL:
            torn |= {name for name in tree(site) if name not in whole}
    suite.check("no file is half-written", not torn, sorted(torn)[:5])
    os.remove(os.path.join(shop, "p00.slv"))
    catalogue(suite, "the next run", 0, shop, "-o", site)
    catalogue(suite, "the model", 0, shop, "-o", model)
    suite.check("the next run mends it", tree(site) == tree(model),
                sorted(set(tree(site)) ^ set(tree(model)))[:5])


def faults(suite, folder):
    """Errors, names that meet, sources, misuse."""
    shop, site = os.path.join(folder, "shop"), os.path.join(folder, "site")
    os.makedirs(shop)
    write(shop, "bad.slv", BROKEN.replace(b"pattern try", b"pattern torn"))
    write(shop, "good.slv", SMALL)
    for run in ("a faulty file", "a faulty file again"):
        out, err = catalogue(suite, run, 1, shop, "-o", site)
        suite.check(f"{run}: it is told and left out, the rest is built", b"[SV-301]" in err and b": 1 pattern," in out and
                    b"pattern torn is not built" in err and b"torn" not in read(os.path.join(site, "index.html")) and
                    os.path.exists(os.path.join(site, "try/bench.html")), err)
    write(shop, "bad.slv", named(b"torn"))
    catalogue(suite, "mended", 0, shop, "-o", site)
    write(shop, "bad.slv", BROKEN.replace(b"pattern try", b"pattern torn"))
    out, _ = catalogue(suite, "faulty again", 1, shop, "-o", site)
    suite.check("pages of a pattern that has faults now are gone", b" 8 removed" in out and
                not os.path.exists(os.path.join(site, "torn")), out)
    os.remove(os.path.join(shop, "bad.slv"))
    write(shop, "a.slv", SMALL)
    for run in ("two of one name", "two of one name again"):
        out, err = catalogue(suite, run, 2, shop, "-o", site)
        suite.check(f"{run}: both files are named", b"a.slv" in err and b"good.slv" in err and b"try" in err and
                    b": 1 pattern," in out, err + out)
    os.remove(os.path.join(shop, "a.slv"))
    out, _ = catalogue(suite, "one of them again", 0, shop, "-o", site)
    suite.check("the other is there", os.path.exists(os.path.join(site, "try/try.svg")) and b": 1 pattern," in out, out)
    os.rename(os.path.join(shop, "good.slv"), os.path.join(folder, "good.slv"))
    os.symlink("nowhere.slv", os.path.join(shop, "good.slv"))
    for run in ("a file that cannot be read", "a file that cannot be read again"):
        out, err = catalogue(suite, run, 3, shop, "-o", site)
        suite.check(f"{run}: its pages stay", b": 1 pattern," in out and b" 0 removed" in out and b"good.slv" in err and
                    os.path.exists(os.path.join(site, "try/try.svg")), out)
    os.replace(os.path.join(folder, "good.slv"), os.path.join(shop, "good.slv"))
    out, _ = catalogue(suite, "it can be read again", 0, shop, "-o", site)
    said(suite, "it can be read again", out, 0, 9, 0)
    # a source among the pages
    before = read(os.path.join(site, "try/try.steps.txt"))
    source = write(site, "try/try.steps.txt", SMALL)
    _, err = catalogue(suite, "a source among the pages", 2, source, "-o", site)
    suite.check("a source is not written over", read(source) == SMALL and b"source" in err, err)
    write(site, "try/try.steps.txt", before)
    link = os.path.join(folder, "link")
    os.symlink(shop, link)
    for what, words, word in (("no -o", [shop], b"-o"), ("no folder", ["-o", site], b"folder"),
                              ("standard input", ["-", "-o", site], b"standard input"),
                              ("a pattern", [shop, "-p", "try", "-o", site], b"-p"),
                              ("the folder itself", [shop, "-o", shop], b"beside it"),
                              ("the folder by a link", [shop, "-o", link], b"beside it"),
                              ("below the folder", [shop, "-o", shop + "/new/deep"], b"beside it"),
                              ("below the folder by a link", [shop, "-o", link + "/../shop/x"], b"beside it"),
                              ("the folder as .", [".", "-o", "site"], b"beside it")):
        out, err = catalogue(suite, f"wrong use: {what}", 2, *words, cwd=shop)
        suite.check(f"wrong use is told: {what}", out == b"" and word in err, err)
    suite.check("wrong use writes nothing", os.listdir(shop) == ["good.slv"], os.listdir(shop))
    catalogue(suite, "into a file", 3, shop, "-o", write(folder, "file", b""))
    catalogue(suite, "a name that begins alike", 0, shop, "-o", shop + "-site")


def missing(suite, folder):
    """Nothing is taken for gone that could not be looked at."""
    shop, stick, site = (os.path.join(folder, name) for name in ("shop", "stick", "site"))
    os.makedirs(shop)
    os.makedirs(stick)
    write(shop, "a.slv", named(b"one") + named(b"two")[SMALL.index(b"pattern"):])
    write(stick, "b.slv", named(b"three"))
    catalogue(suite, "two folders", 0, shop, stick, "-o", site)
    whole = tree(site)
    os.rename(stick, stick + "-away")
    out, err = catalogue(suite, "a folder that is not there", 3, shop, stick, "-o", site)
    suite.check("a folder that is not there: its pages stay, and that is said", b": 3 patterns," in out and
                b" 0 removed" in out and b"no page is removed" in err and
                {name for name in tree(site) if name != MANIFEST} == set(whole) - {MANIFEST}, (out, err))
    # a pattern leaves a file that could be read in such a run: its pages wait for the next that saw all
    write(shop, "a.slv", named(b"one"))
    for run in ("once", "and once more"):
        out, _ = catalogue(suite, f"a pattern gone while a folder is missing, {run}", 3, shop, stick, "-o", site)
        suite.check(f"its pages stay as well, {run}", b" 0 removed" in out and os.path.exists(os.path.join(site, "two/two.svg")),
                    out)
    os.rename(stick + "-away", stick)
    out, err = catalogue(suite, "the folder is there again", 0, shop, stick, "-o", site)
    suite.check("what is gone is removed now, by name", b" 8 removed" in out and b"/two: removed" in out and err == b""
                and not os.path.exists(os.path.join(site, "two")), (out, err))
    out, err = catalogue(suite, "a file that is not there", 3, shop, stick, shop + "/no.slv", "-o", site)
    suite.check("a file that is not there: nothing is removed", b" 0 removed" in out and b"no page is removed" in err, out)
    os.rename(os.path.join(stick, "b.slv"), os.path.join(folder, "b.slv"))
    out, err = catalogue(suite, "a folder without patterns", 2, shop, stick, "-o", site)
    suite.check("a folder without patterns: it is told, and nothing is removed", b"no .slv" in err and b"stick" in err and
                b"no page is removed" in err and b": 2 patterns," in out and b" 0 removed" in out, (out, err))
    out, err = catalogue(suite, "without that folder", 0, shop, "-o", site)
    suite.check("left out of the command it is gone", b" 8 removed" in out and b"/three: removed" in out, out)
    bare, bare_site = os.path.join(folder, "bare"), os.path.join(folder, "bare-site")
    os.makedirs(bare)
    out, _ = catalogue(suite, "a folder without patterns, from the start", 2, bare, "-o", bare_site)
    suite.check("gives an empty index", b"0 patterns" in out, out)
    well_formed(suite, "an empty index", read(os.path.join(bare_site, "index.html")))
    for i in range(30):
        write(bare, f"{i:02}.slv", named(b"p%02d" % i))
    catalogue(suite, "thirty files", 0, bare, "-o", bare_site)
    for i in range(1, 30):
        os.remove(os.path.join(bare, f"{i:02}.slv"))
    out, _ = catalogue(suite, "one file", 0, bare, "-o", bare_site)
    suite.check("of many that are removed some are named, in order", out.count(b": removed\n") == 12 and
                b"/p12: removed\n" in out and b"17 more" in out and b"232 removed" in out, out)


def changed(name):
    return named(name, b' "Another title"')


def foreign(suite, folder):
    """A file that is not as a catalogue wrote it is named and left, whatever becomes of the rest."""
    shop, site = os.path.join(folder, "shop"), os.path.join(folder, "site")
    os.makedirs(shop)
    write(shop, "one.slv", named(b"one"))
    write(shop, "two.slv", named(b"two"))
    catalogue(suite, "before anybody else writes", 0, shop, "-o", site)
    first = tree(site)
    for name in ("one/index.html", "one/one.svg", "one/one.dot", "index.html"):
        write(shop, "one.slv", changed(b"one"))
        whole = read(os.path.join(site, name))
        mine = whole + b" " if name != "one/index.html" else b"<p>mine</p>"
        write(site, name, mine)
        for run in ("once", "again"):
            out, err = catalogue(suite, f"{name} is somebody else's, {run}", 2, shop, "-o", site)
            suite.check(f"{name} is named and left, the rest is written, {run}", err.count(b"site/" + name.encode()) == 1 and
                        read(os.path.join(site, name)) == mine and b"Another title" in
                        read(os.path.join(site, "one/one.steps.txt")) and b": 2 patterns," in out, out + err)
        os.remove(os.path.join(site, name))
        write(shop, "one.slv", named(b"one"))
        catalogue(suite, f"without the other's {name}", 0, shop, "-o", site)
        suite.check(f"{name} is there again", tree(site) == first, sorted(first))
    write(site, "one/one.svg", b"mine")
    os.rename(os.path.join(shop, "one.slv"), os.path.join(folder, "one.slv"))
    out, err = catalogue(suite, "a pattern gone whose drawing is somebody else's", 2, shop, "-o", site)
    suite.check("the drawing stays, alone", os.listdir(os.path.join(site, "one")) == ["one.svg"] and b"one/one.svg" in err and
                read(os.path.join(site, "one/one.svg")) == b"mine" and b" 7 removed" in out, out + err)
    out, err = catalogue(suite, "the run after it", 0, shop, "-o", site)
    suite.check("knows it no more", err == b"" and b" 0 removed" in out, err)
    os.rename(os.path.join(folder, "one.slv"), os.path.join(shop, "one.slv"))
    _, err = catalogue(suite, "the pattern comes back", 2, shop, "-o", site)
    suite.check("into a folder that is another's by now it is not put", os.listdir(os.path.join(site, "one")) == ["one.svg"]
                and b"one/one.svg" in err, err)
    os.remove(os.path.join(site, "one/one.svg"))
    catalogue(suite, "the other's drawing is taken away", 0, shop, "-o", site)
    suite.check("all is as at first", tree(site) == first)
    # nothing remembered
    os.remove(os.path.join(site, MANIFEST))
    write(site, "one/one.svg", b"mine")
    write(site, "two/index.html", first["two/index.html"] + b"<!-- mine -->\n")
    out, err = catalogue(suite, "a manifest gone and two other files", 2, shop, "-o", site)
    suite.check("both are named and left", read(os.path.join(site, "one/one.svg")) == b"mine" and b"one/one.svg" in err and
                read(os.path.join(site, "two/index.html")).endswith(b"mine -->\n") and b"two/index.html" in err and
                err.count(b"\n") == 2, err)
    said(suite, "the rest is known again", out, 0, 15, 0)
    write(site, "one/one.svg", first["one/one.svg"])
    write(site, "two/index.html", first["two/index.html"])
    catalogue(suite, "as they were", 0, shop, "-o", site)
    suite.check("nothing is amiss", tree(site) == first)
    # other names of a file
    beside = os.path.join(folder, "beside.svg")
    os.link(os.path.join(site, "one/one.svg"), beside)
    write(shop, "one.slv", changed(b"one"))
    catalogue(suite, "a file with another name outside", 0, shop, "-o", site)
    suite.check("the other name keeps what it held", read(beside) == first["one/one.svg"])
    for i in range(30):
        write(shop, f"{i:02}.slv", named(b"p%02d" % i))
    catalogue(suite, "thirty more", 0, shop, "-o", site)
    for i in range(30):
        write(site, f"p{i:02}/p{i:02}.svg", b"mine")
        os.remove(os.path.join(shop, f"{i:02}.slv"))
    _, err = catalogue(suite, "thirty foreign files", 2, shop, "-o", site)
    suite.check("of many some are named", err.count(b".svg: ") == 12 and b"18 more" in err and err.count(b"\n") == 13, err)


def linked(suite, folder):
    """Nothing is written or removed through a link."""
    shop, site, away = (os.path.join(folder, name) for name in ("shop", "site", "away"))
    os.makedirs(shop)
    write(shop, "one.slv", named(b"one"))
    write(shop, "two.slv", named(b"two"))
    catalogue(suite, "before there are links", 0, shop, "-o", site)
    whole = tree(site)
    for name in ("one/one.svg", "index.html"):
        precious = os.path.join(folder, "precious")
        os.replace(os.path.join(site, name), precious)
        os.symlink(precious, os.path.join(site, name))
        write(shop, "one.slv", changed(b"one"))
        _, err = catalogue(suite, f"{name} is a link", 2, shop, "-o", site)
        suite.check(f"what {name} leads to is left", read(precious) == whole[name] and b"site/" + name.encode() in err and
                    b"link" in err and os.path.islink(os.path.join(site, name)), err)
        os.remove(os.path.join(site, name))
        write(shop, "one.slv", named(b"one"))
        catalogue(suite, f"{name} is no link any more", 0, shop, "-o", site)
        suite.check(f"{name} is made again", tree(site) == whole)
    os.rename(os.path.join(site, "one"), away)
    os.symlink(away, os.path.join(site, "one"))
    write(shop, "one.slv", changed(b"one"))
    out, err = catalogue(suite, "the folder of a pattern is a link", 2, shop, "-o", site)
    suite.check("nothing is put into it", tree(away) == {name[4:]: text for name, text in whole.items() if
                                                         name.startswith("one/")} and b"site/one" in err and
                b"link" in err and b": 1 pattern," in out, err)
    os.remove(os.path.join(site, "one"))
    os.rename(away, os.path.join(site, "one"))
    write(shop, "one.slv", named(b"one"))
    catalogue(suite, "the folder is none any more", 0, shop, "-o", site)
    os.rename(os.path.join(site, "one"), away)
    os.symlink(away, os.path.join(site, "one"))
    os.remove(os.path.join(shop, "one.slv"))
    out, err = catalogue(suite, "the pattern is gone, its folder a link", 2, shop, "-o", site)
    suite.check("nothing is removed from it", len(os.listdir(away)) == 8 and b"site/one" in err and b" 0 removed" in out, err)
    os.remove(os.path.join(site, "one"))
    kept = os.path.join(folder, "kept")
    os.replace(os.path.join(site, MANIFEST), kept)
    os.symlink(kept, os.path.join(site, MANIFEST))
    before = read(kept)
    write(shop, "two.slv", changed(b"two"))
    _, err = catalogue(suite, "the manifest is a link", 2, shop, "-o", site)
    suite.check("it is left", read(kept) == before and MANIFEST.encode() in err and b"link" in err and
                b"Another" not in read(os.path.join(site, "two/index.html")), err)
    os.replace(kept, os.path.join(site, MANIFEST))
    os.symlink("/nowhere", os.path.join(site, "one"))
    write(shop, "one.slv", named(b"one"))
    catalogue(suite, "a link that leads nowhere", 2, shop, "-o", site)
    entrance = os.path.join(folder, "entrance")
    os.remove(os.path.join(site, "one"))
    os.symlink(site, entrance)
    catalogue(suite, "the site itself may be named by a link", 0, shop, "-o", entrance)


def left_over(suite, folder):
    """Folders of patterns that are gone, which a lost manifest leaves behind, are named."""
    shop, site = os.path.join(folder, "shop"), os.path.join(folder, "site")
    os.makedirs(shop)
    for name in (b"one", b"two", b"three"):
        write(shop, name.decode() + ".slv", named(name))
    catalogue(suite, "three patterns", 0, shop, "-o", site)
    catalogue(suite, "another catalogue in it", 0, shop, "-o", os.path.join(site, "inner"))
    os.makedirs(os.path.join(site, "mine"))
    write(site, "mine/index.html", b"<p>mine</p>")
    os.remove(os.path.join(shop, "one.slv"))
    os.remove(os.path.join(shop, "two.slv"))
    write(site, MANIFEST, b"")
    for run in ("once", "again"):
        out, err = catalogue(suite, f"a manifest lost and patterns gone, {run}", 0, shop, "-o", site)
        suite.check(f"their folders are named and left, {run}", [line.split(b": ")[1].rsplit(b"/")[-1] for line in
                                                                 err.splitlines()] == [b"one", b"two"] and
                    len(os.listdir(os.path.join(site, "two"))) == 8 and b" 0 removed" in out, err)
    index = read(os.path.join(site, "index.html"))
    suite.check("the index does not list them", b"three/index.html" in index and b"one/index.html" not in index)


def sides(suite, folder):
    """What is not strung as the files say is told in the index and on each card; two pieces have no long side."""
    site = os.path.join(folder, "site")
    kestrel = os.path.join(ROOT, "patterns/kestrel.slv")

    def cards():
        parsed = well_formed(suite, "an index of exchanged sides", read(os.path.join(site, "index.html")))
        told = ["".join(p.itertext()) for p in parsed.iter(f"{XHTML}p") if p.get("class") == "sides-asked"]
        return told, {li.find(f".//{XHTML}a").get("href").split("/")[0]: any(
            p.get("class") == "exchanged" for p in li.iter(f"{XHTML}p")) for li in parsed.iter(f"{XHTML}li")}

    catalogue(suite, "as written", 0, kestrel, "-o", site)
    told, plain = cards()
    suite.check("sides as written are not spoken of", not told and len(plain) == 3 and not any(plain.values()), (told, plain))
    two = tree(os.path.join(site, "kestrel-two"))
    catalogue(suite, "--mirror", 0, kestrel, "-o", site, "--mirror")
    told, all_of_them = cards()
    suite.check("--mirror is told on top and on every card", len(told) == 1 and "exchanged" in told[0] and
                all_of_them == {name: True for name in plain}, (told, all_of_them))
    for side, other in (("left", True), ("right", False)):
        out, err = catalogue(suite, f"--long-side {side}", 0, kestrel, "-o", site, "--long-side", side)
        told, some = cards()
        suite.check(f"--long-side {side} is told on top, and where sides are exchanged", len(told) == 1 and side in told[0] and
                    some == {name: other and name != "kestrel-two" for name in plain} and err == b"", (told, some, err))
        suite.check(f"--long-side {side}: two pieces are as written", tree(os.path.join(site, "kestrel-two")) == two)
    out, _ = status(suite, "check tells two pieces all the same", 1, "check", "--long-side", "left", kestrel)
    suite.check("by its code", b"[SV-308]" in out, out)


def no_room(suite, folder):
    """Where nothing can be written, that is told once."""
    shop, site = os.path.join(folder, "shop"), os.path.join(folder, "site")
    os.makedirs(shop)
    for i in range(9):
        write(shop, f"{i}.slv", named(b"p%d" % i) + named(b"q%d" % i)[SMALL.index(b"pattern"):])

    def full():
        signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
        resource.setrlimit(resource.RLIMIT_FSIZE, (0, 0))

    done = subprocess.run([suite.selvage, "catalogue", shop, "-o", site], capture_output=True, preexec_fn=full)
    suite.check("where nothing can be written, that is told once: exit status 3",
                done.returncode == 3 and done.stderr.count(b"too large") == 1 and done.stderr.count(b"\n") == 2 and
                b"index is left" in done.stderr, (done.returncode, done.stderr))
    catalogue(suite, "with room again", 0, shop, "-o", site)


def awkward(suite, folder):
    """Nothing of a text is taken for markup."""
    shop, site = os.path.join(folder, "shop"), os.path.join(folder, "site")
    os.makedirs(shop)
    title = "<script>alert('1')</script> & ]]> -- \u00e9\u4e16 %41 &amp; \\"
    text = named(b"try", b' "' + title.encode() + b'"').replace(b"frame small", b'frame small "<b>Fr&me</b>"')
    text = b"# </pre><script>alert(2)</script> ]]> &lt;\r\n" + text + b"\tstring-free # <!-- \n"
    text = text.replace(b"\tstring-free", b"")
    write(shop, "it's <b>&amp;.slv", text.replace(b"pattern try", b"string s \"<i>S</i>\" { gauge 1.1 mm }\n# <above>\npattern try")
          .replace(b"tension 25", b"string s; tension 25"))
    catalogue(suite, "awkward titles", 0, shop, "-o", site)
    for name in ("index.html", "try/index.html", "try/bench.html"):
        page = read(os.path.join(site, name))
        suite.check(f"{name} of an awkward title has no markup of it", b"<script>alert" not in page and
                    b"<b>Fr" not in page and b"<i>S" not in page and b"<above>" not in page)
    for name in ("index.html", "try/index.html"):
        parsed = well_formed(suite, f"{name} of an awkward title", read(os.path.join(site, name)))
        texts = {"".join(element.itertext()) for element in parsed.iter()}
        suite.check(f"{name} shows the title as it is", title in texts, sorted(texts, key=len)[:9])
    pre = ["".join(element.itertext()) for element in parsed.iter(f"{XHTML}pre")]
    whole = open(os.path.join(shop, os.listdir(shop)[0]), encoding="utf-8", newline="").read().replace("\r", "")
    suite.check("the text is shown as it is, whole and in part", len(pre) == 2 and pre[1] == whole and
                pre[0].startswith("# <above>\npattern try") and pre[0].rstrip().endswith("}") and pre[0] in pre[1],
                pre)
    before = times(site)
    catalogue(suite, "awkward titles again", 0, shop, "-o", site)
    suite.check("awkward titles come back out of the manifest", times(site) == before)


def memory(suite, folder):
    """Where memory fails, what is there stays or is made anew; the next run has nothing to mend but that."""
    shim = os.path.join(os.path.dirname(suite.selvage), "command/failing.so")
    if suite.valgrind or not os.path.exists(shim) or \
            b"__asan" in subprocess.run(["nm", suite.selvage], capture_output=True).stdout:
        suite.skip("the catalogue where memory fails", "the shim is not built, or malloc is not the C library's")
        return
    shop, site = os.path.join(folder, "shop.slv"), os.path.join(folder, "site")
    write(folder, "kit.slv", b'string thin "Thin" { gauge 1.1 mm; stretch 10 % at 25 lb }\n')
    sound = b'use "kit.slv"\n' + named(b"one").replace(b"tension 25", b"string thin; tension 25")
    total = 0
    changed = sound + b"# a comment, which leaves the order graph: libcgraph does not survive memory that fails\n"
    for what, text, step in (("nothing changes", sound, 1), ("a comment comes", changed, 7)):
        write(folder, "shop.slv", sound)
        catalogue(suite, "before memory fails", 0, shop, "-o", site)
        old = tree(site)
        write(folder, "shop.slv", text)
        catalogue(suite, "with memory enough", 0, shop, "-o", site)
        new, wrong = tree(site), []
        write(folder, "shop.slv", sound)
        suite.run("catalogue", shop, "-o", site)
        write(folder, "shop.slv", text)
        requests = once(suite, shim, folder, ["catalogue", shop, "-o", site], 0, False)[3]
        for at in range(1, requests + 1, step):
            for on in (False, True):
                write(folder, "shop.slv", sound)
                suite.run("catalogue", shop, "-o", site)
                write(folder, "shop.slv", text)
                got, _, errors, _ = once(suite, shim, folder, ["catalogue", shop, "-o", site], at, on)
                between = tree(site)
                torn = [name for name in between if name != MANIFEST and between[name] not in (old.get(name), new.get(name))]
                good = got == 0 and between == new or got == 3 and not torn and (
                    b"emory" in errors or b"libcgraph" in errors)  # which could not be loaded
                if not good:
                    wrong.append(f"request {at}{' and on' if on else ''}: status {got}, {torn}, {errors[:200]!r}")
                suite.run("catalogue", shop, "-o", site)
                if tree(site) != new:
                    wrong.append(f"request {at}{' and on' if on else ''}: not mended by the next run")
        suite.check(f"{what}: {requests} requests, 1 in {step} fails", not wrong, "\n".join(wrong[:12]))
        total += 2 * len(range(0, requests, step))
    print(f"catalogue: {total} requests failed")


def felt(suite, folder):
    """With what the frame feels, and without: other pages, nothing left over, and a word where it cannot be told."""
    shop, site = os.path.join(folder, "shop"), os.path.join(folder, "site")
    os.makedirs(shop)
    small = read(os.path.join(TESTS, "golden", "chart", "small.slv"))
    slack = re.sub(rb"(?m)^  tension .*\n", b"", small).replace(b"small", b"slack").replace(b"try", b"untold")
    write(shop, "small.slv", small[:small.index(b"pattern two")])
    write(shop, "slack.slv", slack[:slack.index(b"pattern two")])
    catalogue(suite, "without the bed", 0, shop, "-o", site)
    without = tree(site)
    out, err = catalogue(suite, "with the bed", 0, shop, "-o", site, "--bed")
    suite.check("pages with the bed are written, none is removed", b" 0 removed" in out and b" 0 files written" not in out, out)
    suite.check("a pattern without tension stops nothing", b"bed" not in err and b"selvage:" not in err, err)
    pages = [read(os.path.join(site, name, "index.html")) for name in ("try", "untold")]
    suite.check("the page shows the bed, or says why not", b'class="bed"' in pages[0] and b"Not worked out" not in pages[0] and
                b'class="bed"' not in pages[1] and b"Not worked out (no tension is known" in pages[1])
    suite.check("so does the bench page", b'class="bed"' in read(os.path.join(site, "try/bench.html")))
    for name in ("try", "untold"):
        well_formed(suite, f"page of {name} with the bed", read(os.path.join(site, name, "index.html")))
    out, _ = catalogue(suite, "with the bed again", 0, shop, "-o", site, "--bed")
    said(suite, "with the bed again", out, 0, 17, 0)
    catalogue(suite, "without it again", 0, shop, "-o", site)
    suite.check("without the bed everything is as it was", {k: v for k, v in tree(site).items() if k != MANIFEST} ==
                {k: v for k, v in without.items() if k != MANIFEST})


def many(suite, folder):
    """A second run over a thousand files compiles none: it takes a small part of the first."""
    if suite.valgrind:
        return
    shop, site = os.path.join(folder, "shop"), os.path.join(folder, "site")
    os.makedirs(shop)
    kestrel = read(os.path.join(ROOT, "patterns/kestrel.slv"))
    head, world = kestrel[:kestrel.index(b"# Crosses from")], kestrel[kestrel.index(b"pattern kestrel-world"):
                                                                      kestrel.index(b"# The plainest")]
    for i in range(1000):
        write(shop, f"{i:04}.slv", head + world.replace(b"kestrel-world", b"world-%04d" % i))
    took = []
    for what in ("first", "second"):
        start = time.monotonic()
        out, _ = catalogue(suite, f"a thousand files, {what} run", 0, shop, "-o", site)
        took.append(time.monotonic() - start)
    suite.check("a second run is many times faster", took[1] * 5 < took[0] and b" 0 files written, 8001 unchanged" in out,
                (took, out))
    print(f"catalogue: 1000 files in {took[0]:.2f} s, again in {took[1]:.3f} s")


def run(suite):
    for group in (shipped, again, removal, damage, ended, faults, missing, foreign, linked, left_over, sides, no_room, awkward, felt, memory, many):
        with tempfile.TemporaryDirectory() as folder:
            group(suite, folder)
