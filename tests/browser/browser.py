"""The bench page in a real browser: Chromium, driven by selenium as hands and feet would. What it shows of each
step is held against the exported JSON, worked out anew here. The rules of accessibility are those of axe-core
(make axe, npm), where it is there."""
import base64
import json
import math
import os
import re
import shutil
import subprocess
import tempfile

from browser.chromium import ask_axe, in_both_schemes, in_chromium, resize, with_script, without_script
from harness import ROOT, patterns

def pages(suite, folder):
    """The page and the export of every shipped pattern: {name: (url, export)}."""
    made = {}
    for path in patterns():
        with open(os.path.join(ROOT, path), encoding="utf-8") as file:
            names = re.findall(r"^pattern (\S+)", file.read(), re.M)
        for name in names:
            to = os.path.join(folder, name + ".html")
            status, _, err = suite.run("page", path, "-p", name, "-o", to)
            suite.check(f"page of {name}", status == 0, err.decode())
            made[name] = ("file://" + to, json.loads(suite.run("export", path, "-p", name)[1]))
    return made


def press(driver, key):
    from selenium.webdriver.common.by import By
    driver.find_element(By.TAG_NAME, "body").send_keys(key)


def at(driver):
    return driver.execute_script("return document.getElementById('where').textContent")


def open_at(driver, url, step):
    driver.get("about:blank")
    driver.get(f"{url}#at-{step}")


# ---- what is shown of a step, against the export ----

SHOWN = """
/* How far what is to be done reaches below what is seen: not what comes next, nor where the clamps are then. */
var out_of_sight = function (step) {
  var lowest = 0, edge = step.getBoundingClientRect().bottom;
  Array.prototype.forEach.call(step.querySelectorAll('.block, .then'), function (e) {
    lowest = Math.max(lowest, e.getBoundingClientRect().bottom - edge);
  });
  return lowest;
};
var shown = function () {
  var words = function (selector) {
    return Array.prototype.map.call(document.querySelectorAll(selector), function (e) { return e.id; }).sort();
  };
  var strip = document.querySelector('#step .strip'), step = document.getElementById('step');
  return {lit: words('#strands > .lit'), pulling: words('#strands > .pulling'), later: words('#strands > .later'),
          waiting: words('#strands > .waiting'), enter: words('#view .enter'), leave: words('#view .leave'),
          strip: strip && strip.getAttribute('aria-label'), text: step.innerText,
          said: document.getElementById('said').textContent, current: words('tr[aria-current]'),
          hidden: out_of_sight(step), more: step.classList.contains('has-more'), at: document.getElementById('where').textContent,
          clamps: words('#marks .clamp').length,
          deeds: Array.prototype.map.call(step.querySelectorAll('.block .big, .then'), function (e) { return e.textContent; }),
          after: Array.prototype.map.call(step.querySelectorAll('.after'), function (e) { return e.textContent; })[0] || '',
          wide: document.documentElement.scrollWidth - window.innerWidth};
};
"""
ONE = SHOWN + "return shown();"

# Every step, one page down after another, as a foot pedal sends it.
ALL = SHOWN + """
var all = [], next = document.getElementById('next');
for (; !next.disabled && all.length < 999; ) {
  document.body.dispatchEvent(new KeyboardEvent('keydown', {key: 'PageDown', bubbles: true, cancelable: true}));
  if (all.length === 0 || all[all.length - 1].at !== document.getElementById('where').textContent) all.push(shown());
}
return all;
"""


def crossing(holes, strands, main, cross):
    """Where two strands meet, by their holes."""
    (a, b), (c, d) = ([(holes[h]["x"], holes[h]["y"]) for h in strands[s]["holes"]] for s in (main, cross))
    u, v = (b[0] - a[0], b[1] - a[1]), (d[0] - c[0], d[1] - c[1])
    turn = u[0] * v[1] - u[1] * v[0]
    t = ((c[0] - a[0]) * v[1] - (c[1] - a[1]) * v[0]) / turn
    return a[0] + t * u[0], a[1] + t * u[1]


def expected_strip(data, strand, enter, bed):
    """"over M6, under M5": what a strand meets on its way that lies in the bed."""
    holes = {hole["id"]: hole for hole in data["frame"]["holes"]}
    strands = {s["id"]: s for s in data["strands"]}
    met = []
    for weave in data["weave"]:
        if strand not in (weave["main"], weave["cross"]):
            continue
        other = weave["cross"] if strand == weave["main"] else weave["main"]
        if other in bed:
            x, y = crossing(holes, strands, weave["main"], weave["cross"])
            way = math.hypot(x - holes[enter]["x"], y - holes[enter]["y"])
            met.append((way, ("over " if weave["over"] == strand else "under ") + other.lstrip("LR")))
    return "The weave: " + ", ".join(words for _, words in sorted(met)) if met else None


def named(strand):
    """"right M6" for RM6."""
    side = {"L": "left ", "R": "right "}.get(strand[0], "")
    return side + strand.lstrip("LR")


def strung_from_the_page(suite, driver, name, url, data):
    """Every step of the page, one after another, against the moves: what is threaded from where to where, over
    and under what, what is pulled; and that nothing of a step is out of sight on a small screen."""
    open_at(driver, url, 0)
    steps = driver.execute_script(ALL)
    moves = [move for move in data["moves"] if move["do"] in ("thread", "weave", "pull", "repull")]
    clamping = [move for move in data["moves"] if move["do"] in ("clamp", "release", "tie")]
    bed, pulled, wrong, hidden, on, below = set(), set(), [], [], {}, 0
    for step, shown in enumerate(steps[:-1], 1):
        if shown["current"] != [f"step-{step}"]:
            wrong.append((step, "current", shown["current"]))
        lit, pulls = shown["lit"], shown["pulling"]
        if (shown["hidden"] > 1 and not shown["more"]) or shown["wide"] > 0:
            hidden.append((step, shown["hidden"], shown["wide"]))
        below += shown["hidden"] > 1
        threads = lit and moves and moves[0]["do"] in ("thread", "weave")
        if threads:
            move = moves.pop(0)
            want = ["strand-" + move["strand"]], ["hole-" + move["enter"]], ["hole-" + move["leave"]]
            if (lit, shown["enter"], shown["leave"]) != want:
                wrong.append((step, move, shown))
            strip = expected_strip(data, move["strand"], move["enter"], bed)
            if shown["strip"] != strip:
                wrong.append((step, strip, shown["strip"]))
            word = ("Weave " if strip else "Thread ") + named(move["strand"])
            if shown["deeds"][:1] != [word]:
                wrong.append((step, word, shown["deeds"]))
            bed.add(move["strand"])
        if any(deed.startswith("Pull ") for deed in shown["deeds"]):
            move = moves.pop(0) if moves else {"do": "nothing", "strand": None}
            of = pulls or lit
            if move["do"] not in ("pull", "repull") or of != ["strand-" + str(move["strand"])]:
                wrong.append((step, move, of))
            pulled.add(move["strand"])
        for deed in shown["deeds"]:
            if deed.startswith(("Weave", "Thread", "Pull")):
                continue
            twice = deed.startswith("Move") or "on again" in deed  # off, and on
            for move in [clamping.pop(0) for _ in range(2 if twice else 1) if clamping]:
                around = move.get("around", move.get("strand"))
                if named(around) not in deed or (move["do"] == "tie") != deed.startswith(("Tie", "Start knot")):
                    wrong.append((step, deed, move))
                if move["do"] == "clamp":
                    on[move["clamp"]] = move["strand"]
                elif move["do"] == "release":
                    on.pop(move["clamp"])
        held = sorted(re.findall(r"on (?:the tail of )?((?:left |right )?[MC]\d+)", shown["after"]))
        if held != sorted(named(strand) for strand in on.values()) or shown["clamps"] != len(on):
            wrong.append((step, "clamps", on, shown["after"], shown["clamps"]))
        later = {"strand-" + s["id"] for s in data["strands"]} - {"strand-" + s for s in bed}
        waiting = {"strand-" + s for s in bed - pulled}
        if set(shown["later"]) != later or set(shown["waiting"]) != waiting:
            wrong.append((step, sorted(later), shown["later"], sorted(waiting), shown["waiting"]))
    suite.check(f"{name}: every step of the page is that of the moves", not wrong and not moves and
                not clamping, (wrong[:2], moves[:2], clamping[:2]))
    suite.check(f"{name}: the last page down ends the job", at(driver) == "All steps done", at(driver))
    suite.check(f"{name}: next to nothing is out of sight", below <= 1, below)
    return hidden


def every_pattern(suite, driver, made):
    for width, height in ((800, 600), (390, 844)):
        resize(driver, width, height)
        hidden = {}
        for name, (url, data) in made.items():
            found = strung_from_the_page(suite, driver, name, url, data)
            if found:
                hidden[name] = found
        suite.check(f"nothing is out of sight without a sign at {width} x {height}", not hidden, hidden)
    resize(driver, 1024, 768)


# ---- hands ----

def hands(suite, driver, url):
    from selenium.webdriver.common.by import By
    from selenium.webdriver.common.keys import Keys
    driver.get("about:blank")
    driver.get(url)
    click = lambda name: driver.find_element(By.ID, name).click()
    suite.check("a page opens before the first step", "steps" in at(driver) and
                "eye protection" in driver.find_element(By.ID, "step").text, at(driver))
    click("next")
    suite.check("next goes to the first step", at(driver).startswith("Step 1 of"), at(driver))
    for key, step in ((Keys.PAGE_DOWN, 2), (Keys.SPACE, 3), (Keys.ARROW_RIGHT, 4), (Keys.ENTER, 5),
                      (Keys.PAGE_UP, 4), (Keys.ARROW_LEFT, 3), (Keys.BACKSPACE, 2)):
        press(driver, key)
        suite.check(f"key {key!r} leads to step {step}", at(driver).startswith(f"Step {step} of"), at(driver))
    click("next")
    driver.find_element(By.ID, "next").send_keys(Keys.SPACE)
    suite.check("space on a button is one step, not two", at(driver).startswith("Step 4 of"), at(driver))
    click("back")
    suite.check("back goes back", at(driver).startswith("Step 3 of"), at(driver))
    press(driver, Keys.SPACE)
    suite.check("a tap on back leaves no button that space would press", at(driver).startswith("Step 4 of"), at(driver))
    driver.execute_script("""document.body.dispatchEvent(new KeyboardEvent('keydown',
                             {key: 'PageDown', repeat: true, bubbles: true}))""")
    suite.check("a pedal that is held is pressed once", at(driver).startswith("Step 4 of"), at(driver))
    click("back")
    click("step")
    suite.check("a tap on the step goes on", at(driver).startswith("Step 4 of"), at(driver))
    driver.refresh()
    suite.check("a reload stays where it was", at(driver).startswith("Step 4 of"), at(driver))
    driver.get("about:blank")
    driver.get(url)
    suite.check("so does opening the file again", at(driver).startswith("Step 4 of"), at(driver))
    press(driver, Keys.END)
    suite.check("end is the end", at(driver) == "All steps done" and
                not driver.find_element(By.ID, "next").is_enabled(), at(driver))
    press(driver, Keys.HOME)
    suite.check("home is before the first step", not driver.find_element(By.ID, "back").is_enabled(), at(driver))
    row = driver.find_element(By.CSS_SELECTOR, "#step-7 button")
    row.send_keys(Keys.ENTER)
    suite.check("a step of the list is gone to", at(driver).startswith("Step 7 of"), at(driver))
    driver.execute_script("document.querySelector('#strand-C5').dispatchEvent(new MouseEvent('click', {bubbles: true}))")
    lit = driver.execute_script(ONE)
    suite.check("a strand that is touched leads to the step that weaves it", lit["lit"] == ["strand-C5"], lit["lit"])
    click("return")
    suite.check("there is a way back from a jump", at(driver).startswith("Step 7 of"), at(driver))
    driver.execute_script("document.querySelector('#strand-C5').dispatchEvent(new MouseEvent('click', {bubbles: true}))")
    driver.execute_script("document.querySelector('#strand-C5').dispatchEvent(new MouseEvent('click', {bubbles: true}))")
    again = driver.execute_script(ONE)
    suite.check("and touched again to the one that pulls it", "Pull C5" in again["text"], again["text"])
    suite.check("a live region says the step", again["said"].startswith("Step ") and "Pull C5" in again["said"],
                again["said"])
    order = driver.execute_script("""
      return Array.prototype.map.call(document.querySelectorAll('button:not([disabled])'),
                                      function (b) { return b.tabIndex >= 0 && b.innerText.trim() !== ''; });""")
    suite.check("every button has a name and is reached by tab", all(order), order)
    driver.get("about:blank")


def upright(driver):
    """Whether every text of the figure is drawn the right way up and round, whatever the frame is."""
    return driver.execute_script("""
      var texts = Array.prototype.slice.call(document.querySelectorAll('#names text, #numbers text, #places text'));
      return texts.length > 50 && texts.every(function (text) {
        var drawn = new DOMMatrix(getComputedStyle(text).transform);
        var frame = document.getElementById('view').transform.baseVal.consolidate().matrix;
        return drawn.a * frame.a > 0 && drawn.d * frame.d > 0;
      });""")


def views(suite, driver, url):
    from selenium.webdriver.common.by import By
    click = lambda name: driver.find_element(By.ID, name).click()
    open_at(driver, url, 16)
    place = lambda what: driver.execute_script(
        "var r = document.querySelector(arguments[0]).getBoundingClientRect(); return [r.x, r.y, r.width];", what)
    front = driver.execute_script(ONE)
    head, right = place("#hole-R1H"), place("#hole-R9H")
    click("turn")
    suite.check("throat up: the head is below, right is left", place("#hole-R1H")[1] > head[1] and
                place("#hole-R9H")[0] < right[0], (place("#hole-R1H"), head))
    suite.check("throat up: every text is upright", upright(driver))
    click("turn")
    click("mirror")
    suite.check("from the back: no text is mirrored", upright(driver))
    back = driver.execute_script(ONE)
    swap = {"over": "under", "under": "over"}
    turned = re.sub("over|under", lambda m: swap[m.group()], front["strip"])
    suite.check("from the back: the head stays above, right is left", abs(place("#hole-R1H")[1] - head[1]) < 1 and
                place("#hole-R9H")[0] < right[0], place("#hole-R9H"))
    suite.check("from the back over is under", back["strip"] == turned, (back["strip"], turned))
    faces = driver.execute_script("""
      var shown = function (face) {
        return getComputedStyle(document.querySelector('#strand-C3 .string:not(.bridge).' + face)).display !== 'none';
      };
      return [shown('front-face'), shown('back-face')];""")
    suite.check("from the back the back is drawn", faces == [False, True], faces)
    click("mirror")
    narrow(suite, driver)
    click("left-handed")
    suite.check("left-handed: the step stands left of the frame", place("#now")[0] < place("#picture")[0])
    driver.refresh()
    suite.check("a view is kept", place("#now")[0] < place("#picture")[0])
    click("left-handed")


def narrow(suite, driver):
    """On a window too low for a step, what is below comes before the next step."""
    resize(driver, 320, 480)
    where, steps = at(driver), 0
    while at(driver) == where and steps < 9:
        press(driver, "\ue00f")
        steps += 1
    suite.check("what is out of sight is shown before the next step", 1 < steps < 9, steps)
    press(driver, "\ue00e")
    resize(driver, 1024, 768)


def rules(suite, driver, url, scheme):
    for step in (0, 1, 16, 999):
        open_at(driver, url, step)
        driver.execute_script("localStorage.removeItem('selvage-looks')")
        driver.refresh()
        if step == 999:
            press(driver, "\ue010")
        dark = driver.execute_script("return document.documentElement.classList.contains('dark')")
        suite.check(f"the page follows the device: {scheme}", dark == (scheme == "dark"))
        ask_axe(suite, driver, f"{at(driver)}, {scheme}")


def felt(suite, driver, folder):
    """A page with what the frame feels: below the steps, which stay as they are; light, dark and on paper."""
    to = os.path.join(folder, "felt.html")
    status, _, err = suite.run("page", "patterns/kestrel.slv", "-p", "kestrel-world", "--bed", "-o", to)
    suite.check("page with the bed", status == 0, err.decode())
    driver.get("file://" + to)
    wide, named, below = driver.execute_script("""
        var picture = document.querySelector('#felt .bed'), list = document.getElementById('list');
        return [document.documentElement.scrollWidth - window.innerWidth,
                picture.getAttribute('aria-labelledby').split(' ').every(function (id) {
                  return picture.querySelector('#' + id).textContent.length > 20; }),
                picture.getBoundingClientRect().top >= list.getBoundingClientRect().bottom];""")
    suite.check("the bed is below the steps, has its words, and the page is no wider", wide <= 0 and named and below)
    in_both_schemes(suite, driver, lambda scheme: (driver.get("file://" + to),
                                                   ask_axe(suite, driver, f"a page with the bed, {scheme}")))
    for size, (width, height) in {"A4": (8.27, 11.69), "letter": (8.5, 11)}.items():
        made = driver.execute_cdp_cmd("Page.printToPDF", {"paperWidth": width, "paperHeight": height})
        path = os.path.join(folder, "felt.pdf")
        with open(path, "wb") as file:
            file.write(base64.b64decode(made["data"]))
        text = subprocess.run(["pdftotext", "-layout", path, "-"], capture_output=True, text=True).stdout.split("\f")
        suite.check(f"the bed is on one page of {size} with its heading", text[-1].strip() == "" and
                    text[-2].count("What the frame feels") == 2 and "Step by step" in text[-2], text[-3:])


# ---- paper, and no script ----

def paper(suite, driver, url, data, folder):
    open_at(driver, url, 12)
    made = driver.execute_cdp_cmd("Page.printToPDF", {"paperWidth": 8.27, "paperHeight": 11.69, "printBackground": False})
    path = os.path.join(folder, "page.pdf")
    with open(path, "wb") as file:
        file.write(base64.b64decode(made["data"]))
    info = subprocess.run(["pdfinfo", path], capture_output=True, text=True).stdout
    suite.check("it prints on A4", "A4" in info and 2 <= int(re.search(r"Pages: +(\d+)", info).group(1)) <= 6, info)
    text = subprocess.run(["pdftotext", "-layout", path, "-"], capture_output=True, text=True).stdout
    ties = sum(move["do"] == "tie" for move in data["moves"])
    suite.check("the print is the step list", "All steps" in text and "eye protection" in text and
                len(re.findall(r"tie at", text)) >= ties, text[:600])
    suite.check("the print has no buttons", "Throat up" not in text and "Left-handed" not in text)


def bare(suite, driver, url):
    from selenium.webdriver.common.by import By
    without_script(driver, url)
    rows = driver.find_elements(By.CSS_SELECTOR, "#list tbody tr")
    shown = [driver.find_element(By.ID, name).is_displayed() for name in ("now", "tools", "picture", "facts", "list")]
    suite.check("without script it is drawing, facts and step list", len(rows) > 20 and
                shown == [False, False, True, True, True], shown)
    with_script(driver)


def alone(suite, driver, made):
    """Nothing is asked for outside the file, and nothing goes wrong in it."""
    for entry in driver.get_log("browser"):
        suite.check("the browser has nothing to say", False, entry["message"])
    asked = set()
    for entry in driver.get_log("performance"):
        message = json.loads(entry["message"])["message"]
        if message["method"] == "Network.requestWillBeSent":
            asked.add(message["params"]["request"]["url"].split("#")[0])
    own = {url for url, _ in made.values()} | {"about:blank"}
    suite.check("a page asks for nothing but itself", asked and asked <= own, sorted(asked - own)[:5])
    for name, (url, _) in made.items():
        with open(url[7:], encoding="utf-8") as file:
            text = file.read()
        links = [word for word in re.findall(r"https?://[^\"' <)]+", text) if "www.w3.org" not in word]
        suite.check(f"{name}: no address stands in the page", not links, links)


def run(suite):
    folder = tempfile.mkdtemp()

    def tests(driver):
        made = pages(suite, folder)
        url, data = made["kestrel-world"]
        hands(suite, driver, url)
        views(suite, driver, url)
        every_pattern(suite, driver, made)
        paper(suite, driver, url, data, folder)
        alone(suite, driver, made)
        in_both_schemes(suite, driver, lambda scheme: rules(suite, driver, url, scheme))
        bare(suite, driver, url)
        felt(suite, driver, folder)

    try:
        in_chromium(suite, "the bench page in a browser", tests)
    finally:
        shutil.rmtree(folder)
