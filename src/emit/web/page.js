/* Lights the step at hand in the figure, says it in large type, and goes on: by tap, keys or pedal. What is
 * said stands in the table; nothing is worked out here but what is lit. Without it the page is a drawing, the
 * facts and the step list. */
(function () {
  "use strict";
  var root = document.documentElement;
  var view = document.getElementById("view");
  var rows = Array.prototype.slice.call(document.querySelectorAll("#list tbody tr"));
  var last = rows.length + 1; /* 0: before the first step; last: done */
  var at = 0;
  var looks = { turn: false, mirror: false, "left-handed": false, dark: false };
  var store = {
    get: function (key) {
      try { return window.localStorage.getItem(key); } catch (e) { return null; }
    },
    set: function (key, value) {
      try { window.localStorage.setItem(key, value); } catch (e) { /* a place that remembers nothing */ }
    }
  };
  var place = "selvage-at-" + document.body.getAttribute("data-job");

  function element(name, class_name, text) {
    var made = document.createElement(name);
    if (class_name) made.className = class_name;
    if (text) made.textContent = text;
    return made;
  }

  function drawn(name, attributes, text) {
    var made = document.createElementNS("http://www.w3.org/2000/svg", name);
    Object.keys(attributes).forEach(function (key) { made.setAttribute(key, attributes[key]); });
    if (text) made.textContent = text;
    return made;
  }

  function cell(row, name) { return row.querySelector(".is-" + name).textContent; }

  /* Words as they hold for the face that is looked at. */
  function faced(text) {
    if (!looks.mirror) return text;
    var other = { over: "under", under: "over", "in front": "behind", behind: "in front" };
    return text.replace(/\b(over|under|in front|behind)\b/g, function (word) { return other[word]; });
  }

  function sentence(text) { return text.charAt(0).toUpperCase() + text.slice(1); }

  /* ---- the figure ---- */

  /* Every strand and loop gets what lights it, and a strand what a finger finds. */
  function prepare() {
    Array.prototype.forEach.call(document.querySelectorAll("#strands > g"), function (strand) {
      var paths = strand.querySelectorAll(".string"), ends = paths[0].getAttribute("d");
      var points = ends.match(/[-\d.]+ [-\d.]+/g);
      var line = "M" + points[0] + "L" + points[points.length - 1];
      strand.insertBefore(drawn("path", { "class": "glow", d: line }), paths[0]);
      strand.appendChild(drawn("path", { "class": "touch", d: line }));
      strand.addEventListener("click", function () { find_strand(strand.id); });
    });
    Array.prototype.forEach.call(document.querySelectorAll("#loops-front > g, #loops-back > g"), function (loop) {
      var path = loop.querySelector(".loop");
      loop.insertBefore(drawn("path", { "class": "loop-glow", d: path.getAttribute("d") }), path);
    });
  }

  /* To the step that threads a strand; from there to the one that pulls it. */
  function find_strand(id) {
    var threads = 0, pulls = 0;
    rows.forEach(function (row, i) {
      if (row.getAttribute("data-threads") === id) threads = i + 1;
      if (row.getAttribute("data-pulls") === id && pulls === 0) pulls = i + 1;
    });
    go(threads > 0 && at !== threads ? threads : pulls || threads);
  }

  function mark(id, word) {
    var found = id && document.getElementById(id);
    if (found) found.classList.add(word);
  }

  /* What is done by a step, what lies in the bed and waits for its pull, what is to come. */
  function light() {
    var words = ["later", "waiting", "lit", "pulling", "enter", "leave"];
    words.forEach(function (word) {
      Array.prototype.forEach.call(view.querySelectorAll("." + word), function (found) {
        found.classList.remove(word);
      });
    });
    root.classList.toggle("working", at > 0 && at < last);
    if (at === 0 || at === last) return;
    rows.forEach(function (row, i) {
      var later = i >= at, threads = row.getAttribute("data-threads");
      ["threads", "loop", "knot"].forEach(function (what) {
        if (later) mark(row.getAttribute("data-" + what), "later");
      });
      if (!later && threads) mark(threads, "waiting");
    });
    rows.slice(0, at).forEach(function (row) {
      var pulled = document.getElementById(row.getAttribute("data-pulls") || "");
      if (pulled) pulled.classList.remove("waiting");
    });
    var row = rows[at - 1];
    mark(row.getAttribute("data-threads"), "lit");
    mark(row.getAttribute("data-loop"), "lit");
    mark(row.getAttribute("data-knot"), "lit");
    if (row.getAttribute("data-pulls") !== row.getAttribute("data-threads"))
      mark(row.getAttribute("data-pulls"), "pulling");
    mark(row.getAttribute("data-enter"), "enter");
    mark(row.getAttribute("data-leave"), "leave");
  }

  /* ---- the weave ---- */

  /* The strand as it must look when it is right, lying as it does on the machine. */
  function strip(row) {
    var weave = row.getAttribute("data-weave");
    if (!weave) return null;
    var meets = weave.split(",").map(function (meet) { return faced(meet).split(" "); });
    var cross = /^strand-C/.test(row.getAttribute("data-threads"));
    var enter = row.getAttribute("data-enter").slice(5), leave = row.getAttribute("data-leave").slice(5);
    var backwards = cross ? enter.charAt(0) === "R" : /T$/.test(enter);
    if (cross ? looks.turn !== looks.mirror : looks.turn) backwards = !backwards;
    if (backwards) meets.reverse();
    var step = 13, room = 20, wide = step * (meets.length - 1) + 2 * room, y = 17, gap = 3.2;
    var said = meets.map(function (meet) { return meet[1] + " " + meet[0]; });
    if (backwards) said.reverse();
    var picture = drawn("svg", { "class": "strip", viewBox: "0 0 " + wide + " 40", role: "img",
      "aria-label": "The weave: " + said.join(", ") });
    var line = "M6 " + y;
    meets.forEach(function (meet, i) {
      var x = room + step * i, over = meet[1] === "over";
      picture.appendChild(drawn("path", { "class": "across", d: over
        ? "M" + x + " 4V" + (y - gap) + "M" + x + " " + (y + gap) + "V30" : "M" + x + " 4V30" }));
      if (!over) line += "H" + (x - gap) + "M" + (x + gap) + " " + y;
      picture.appendChild(drawn("text", { x: x, y: 37 }, meet[0]));
    });
    picture.appendChild(drawn("path", { "class": "string-now", d: line + "H" + (wide - 6) }));
    var tip = backwards ? "M1 " + y + "l7 -4v8z" : "M" + (wide - 1) + " " + y + "l-7 -4v8z";
    picture.appendChild(drawn("path", { "class": "tip", d: tip }));
    var names = [backwards ? leave : enter, backwards ? enter : leave].map(function (hole) {
      return hole.replace(/^[LR]/, "");
    });
    picture.appendChild(drawn("text", { "class": "at", x: 8, y: 9 }, names[0]));
    picture.appendChild(drawn("text", { "class": "at", x: wide - 8, y: 9 }, names[1]));
    return picture;
  }

  /* ---- the step in large type ---- */

  function add(into, class_name, text) {
    if (text) into.appendChild(element("p", class_name, text));
  }

  function thread_block(row) {
    var strand = cell(row, "strand");
    if (!strand) return null;
    var woven = row.hasAttribute("data-weave");
    var block = element("div", "block");
    add(block, "big", (woven ? "Weave " : "Thread ") + strand);
    add(block, "way", cell(row, "way"));
    add(block, "over", woven ? sentence(faced(cell(row, "first"))) + " first" : "");
    var picture = strip(row);
    if (picture) block.appendChild(picture);
    return block;
  }

  function pull_block(row) {
    var text = cell(row, "pull");
    if (!text) return null;
    var own = row.getAttribute("data-pulls") === row.getAttribute("data-threads");
    var block = element("div", own ? "block" : "block is-pulled");
    add(block, "big", "Pull " + text.replace(/^\d+\. /, ""));
    return block;
  }

  function brief(row) {
    var parts = [];
    if (cell(row, "strand"))
      parts.push((row.hasAttribute("data-weave") ? "weave " : "thread ") + cell(row, "strand") + ", " + cell(row, "way"));
    if (cell(row, "pull")) parts.push("pull " + cell(row, "pull").replace(/^\d+\. /, ""));
    if (cell(row, "hold")) parts.push(cell(row, "hold"));
    return cell(row, "end") + " end: " + parts.join("; ");
  }

  function spoken(row) {
    var parts = [sentence(brief(row))];
    if (cell(row, "first")) parts.push("Go " + faced(cell(row, "first")) + " first");
    if (cell(row, "notes")) parts.push("Mind: " + faced(cell(row, "notes")));
    return "Step " + at + " of " + rows.length + ". " + parts.join(". ") + ".";
  }

  function show_before(step) {
    add(step, "big", "Before the first step");
    Array.prototype.forEach.call(document.querySelectorAll("#facts > ul, #facts > dl"), function (list) {
      step.appendChild(list.cloneNode(true));
    });
  }

  function show_done(step) {
    add(step, "big", "Done");
    add(step, "way", "All " + rows.length + " steps are behind you.");
    add(step, "", "Look the weave over once more before the racket comes off the machine.");
    var again = element("button", "", "Start again");
    again.type = "button";
    again.addEventListener("click", function (event) {
      event.stopPropagation();
      go(0);
    });
    step.appendChild(again);
  }

  function show_step(step, row) {
    add(step, "which", sentence(cell(row, "end")) + " end");
    var blocks = [thread_block(row), pull_block(row)].filter(Boolean);
    blocks.forEach(function (block) { step.appendChild(block); });
    add(step, blocks.length > 0 ? "then" : "big", sentence(cell(row, "hold")));
    add(step, "note", faced(cell(row, "notes")));
    add(step, "after", at < rows.length ? "Next: " + brief(rows[at]) : "This is the last step.");
  }

  function show() {
    var step = document.getElementById("step"), row = rows[at - 1];
    step.textContent = "";
    step.scrollTop = 0;
    if (at === 0) show_before(step);
    else if (at === last) show_done(step);
    else show_step(step, row);
    document.getElementById("where").textContent =
      at === 0 ? rows.length + " steps" : at === last ? "All steps done" : "Step " + at + " of " + rows.length;
    document.getElementById("said").textContent =
      at === 0 ? "Before the first step" : at === last ? "All steps are done" : spoken(row);
    var progress = document.getElementById("progress");
    progress.max = rows.length;
    progress.value = Math.min(at, rows.length);
    document.getElementById("back").disabled = at === 0;
    document.getElementById("next").disabled = at === last;
    document.getElementById("next").textContent = at === 0 ? "Start" : at === rows.length ? "Done" : "Next";
    rows.forEach(function (other, i) {
      if (i === at - 1) other.setAttribute("aria-current", "step");
      else other.removeAttribute("aria-current");
    });
    light();
  }

  function go(to) {
    at = Math.max(0, Math.min(last, to));
    store.set(place, String(at));
    try { history.replaceState(null, "", "#at-" + at); } catch (e) { /* the place is stored all the same */ }
    show();
  }

  /* ---- views ---- */

  function look() {
    var middle = Number(view.getAttribute("data-middle"));
    var flip_x = looks.turn !== looks.mirror, flip_y = looks.turn;
    view.setAttribute("transform", "matrix(" + (flip_x ? -1 : 1) + " 0 0 " + (flip_y ? -1 : 1) + " 0 " +
      (flip_y ? 2 * middle : 0) + ")");
    view.setAttribute("class", (flip_x ? "flip-x " : "") + (flip_y ? "flip-y " : "") +
      (looks.mirror ? "from-back" : ""));
    Array.prototype.forEach.call(document.querySelectorAll("#places text"), function (text) {
      if (/^seen from/.test(text.textContent))
        text.textContent = looks.mirror ? "seen from the back" : "seen from the front";
    });
    root.classList.toggle("dark", looks.dark);
    root.classList.toggle("left-handed", looks["left-handed"]);
    Object.keys(looks).forEach(function (name) {
      document.getElementById(name).setAttribute("aria-pressed", String(looks[name]));
    });
    show();
  }

  function recall() {
    var kept = null;
    try { kept = JSON.parse(store.get("selvage-looks") || "null"); } catch (e) { kept = null; }
    looks.dark = !!(window.matchMedia && window.matchMedia("(prefers-color-scheme: dark)").matches);
    Object.keys(looks).forEach(function (name) {
      if (kept && typeof kept[name] === "boolean") looks[name] = kept[name];
    });
    var said = /^#at-(\d+)$/.exec(window.location.hash);
    var to = said ? Number(said[1]) : Number(store.get(place));
    at = to >= 0 && to <= last ? to : 0;
  }

  /* ---- hands ---- */

  function listen() {
    document.getElementById("next").addEventListener("click", function () { go(at + 1); });
    document.getElementById("back").addEventListener("click", function () { go(at - 1); });
    document.getElementById("step").addEventListener("click", function () {
      if (at > 0 && String(window.getSelection()) === "") go(at + 1);
    });
    document.getElementById("print").addEventListener("click", function () { window.print(); });
    Object.keys(looks).forEach(function (name) {
      document.getElementById(name).addEventListener("click", function () {
        looks[name] = !looks[name];
        store.set("selvage-looks", JSON.stringify(looks));
        look();
      });
    });
    rows.forEach(function (row, i) {
      var head = row.querySelector("th"), button = element("button", "", head.textContent);
      button.type = "button";
      button.setAttribute("aria-label", "Go to step " + (i + 1));
      head.textContent = "";
      head.appendChild(button);
      row.addEventListener("click", function () {
        if (String(window.getSelection()) !== "") return;
        go(i + 1);
        window.scrollTo(0, 0);
      });
    });
    document.addEventListener("keydown", function (event) {
      if (event.ctrlKey || event.altKey || event.metaKey) return;
      var on_button = event.target.tagName === "BUTTON";
      var moves = { PageDown: 1, ArrowRight: 1, PageUp: -1, ArrowLeft: -1, Backspace: -1 };
      if (!on_button) moves[" "] = moves.Enter = event.shiftKey ? -1 : 1;
      if (event.key === "Home") go(0);
      else if (event.key === "End") go(last);
      else if (moves[event.key]) go(at + moves[event.key]);
      else return;
      event.preventDefault();
    });
    window.addEventListener("hashchange", function () {
      var said = /^#at-(\d+)$/.exec(window.location.hash);
      if (said && Number(said[1]) !== at) go(Number(said[1]));
    });
  }

  /* A tablet that goes to sleep in the middle of a job is no help. */
  function stay_awake() {
    if (!navigator.wakeLock || document.visibilityState !== "visible") return;
    navigator.wakeLock.request("screen").catch(function () { /* it may sleep then */ });
  }

  function measure() {
    root.style.setProperty("--head", document.querySelector("header").offsetHeight + "px");
  }

  root.classList.add("scripted");
  prepare();
  listen();
  recall();
  look();
  measure();
  window.addEventListener("resize", measure);
  document.addEventListener("visibilitychange", stay_awake);
  stay_awake();
}());
