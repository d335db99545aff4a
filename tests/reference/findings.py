"""Findings in their three forms, against JSON Schema (python3-jsonschema) and the object model that
python3-sarif-python-om generates from the published schema of SARIF 2.1.0 (OASIS); and the safe changes,
made once more here from the JSON alone."""
import json
import os
import re
import shutil
import tempfile
import urllib.parse

from harness import ROOT, TESTS

BAD = os.path.join(TESTS, "golden", "bad")


def bad_texts():
    return sorted(name for name in os.listdir(BAD) if name.endswith(".slv"))


def text_of(name):
    with open(os.path.join(BAD, name), "rb") as file:
        return file.read()


def find_json(suite, *words, cwd=BAD):
    status, out, err = suite.run("check", "--format", "json", *words, cwd=cwd)
    return status, json.loads(out)["findings"], err


# ---- places ----

def lines_of(raw):
    """The lines as the report counts them; bytes that are no UTF-8 count one each."""
    return [line.decode(errors="surrogateescape") for line in raw.split(b"\n")]


def offset(lines, line, column):
    return sum(len(text) + 1 for text in lines[:line - 1]) + column - 1


def mend(raw, findings, name):
    """Every safe change made that meets no other, and the lines they are in."""
    lines, text, at, made, done = lines_of(raw), raw.decode(errors="surrogateescape"), 0, "", []
    fixes = [finding["fix"] for finding in findings
             if finding.get("fix", {}).get("safe") and finding["fix"]["file"] == name]
    places = sorted((offset(lines, fix["line"], fix["column"]), offset(lines, fix["end_line"], fix["end_column"]),
                     fix["text"]) for fix in fixes)
    for start, end, instead in places:
        if start < at or (done and start == at):
            continue
        made += text[at:start] + instead
        at = end
        done.append(text.count("\n", 0, start))
    return (made + text[at:]).encode(errors="surrogateescape"), done


# ---- SARIF ----

def build(om, kind, data, path):
    """An object of the model from JSON: a property it does not know, or one it wants and lacks, raises."""
    import attr
    known = {field.metadata["schema_property_name"]: field.name
             for field in attr.fields(kind) if "schema_property_name" in field.metadata}
    unknown = set(data) - set(known)
    if unknown:
        raise TypeError(f"{path}: {kind.__name__} has no {unknown}")
    return kind(**{known[name]: value for name, value in data.items()})


KINDS = {"runs": "Run", "tool": "Tool", "driver": "ToolComponent", "rules": "ReportingDescriptor",
         "results": "Result", "locations": "Location", "relatedLocations": "Location", "message": "Message",
         "physicalLocation": "PhysicalLocation", "artifactLocation": "ArtifactLocation", "region": "Region",
         "fixes": "Fix", "description": "Message", "artifactChanges": "ArtifactChange",
         "replacements": "Replacement", "deletedRegion": "Region", "insertedContent": "ArtifactContent",
         "suppressions": "Suppression", "shortDescription": "MultiformatMessageString",
         "defaultConfiguration": "ReportingConfiguration"}


def walk(om, data, path):
    for name, value in data.items():
        for number, item in enumerate(value if isinstance(value, list) else [value]):
            if isinstance(item, dict):
                here = f"{path}.{name}[{number}]"
                build(om, getattr(om, KINDS[name]), item, here)
                walk(om, item, here)


def judge_sarif(suite, om, name, log, findings):
    try:
        build(om, om.SarifLog, log, "log")
        walk(om, {key: value for key, value in log.items() if key != "$schema"}, "log")
        problem = ""
    except TypeError as error:
        problem = str(error)
    suite.check(f"SARIF of {name} is of the published model", not problem, problem)
    run = log["runs"][0]
    rules = [rule["id"] for rule in run["tool"]["driver"]["rules"]]
    results = [result for result in run["results"] if "suppressions" not in result]
    levels = {"error": "error", "warning": "warning", "note": "advice"}
    rows = []
    for result in results:
        suite.check(f"SARIF of {name} names its rules", rules[result["ruleIndex"]] == result["ruleId"])
        row = [result["ruleId"], levels[result["level"]]]
        for location in result["locations"]:
            place = location["physicalLocation"]
            region = place["region"]
            row += [urllib.parse.unquote(place["artifactLocation"]["uri"]), region["startLine"], region["startColumn"],
                    region["endLine"], region["endColumn"]]
        rows.append(row)
    expected = [[f["code"], f["severity"]] + [f[key] for key in ("file", "line", "column", "end_line", "end_column")
                                              if key in f] for f in findings]
    suite.check(f"SARIF and JSON of {name} agree", rows == expected, f"{rows}\n{expected}")


def sarif_schema(suite):
    """The schema itself (draft 4 of JSON Schema), which `make sarif-schema` fetches."""
    import jsonschema
    path = os.path.join(ROOT, "build/sarif/schema.json")
    if not os.path.exists(path):
        suite.skip("SARIF against its schema", "run make sarif-schema (npm) to have it")
        return None
    with open(path, encoding="utf-8") as file:
        return jsonschema.Draft4Validator(json.load(file))


def sarif_model(suite):
    try:
        import sarif_om
        return sarif_om
    except ImportError:
        suite.skip("SARIF against its model", "python3-sarif-python-om is not installed")
        return None


# ---- groups ----

def forms(suite):
    import jsonschema
    with open(os.path.join(ROOT, "docs/findings.schema.json"), encoding="utf-8") as file:
        schema = json.load(file)
    jsonschema.Draft202012Validator.check_schema(schema)
    validator = jsonschema.Draft202012Validator(schema)
    om, published = sarif_model(suite), sarif_schema(suite)
    for name in bad_texts():
        text_status, text, _ = suite.run("check", name, cwd=BAD)
        status, out, _ = suite.run("check", "--format", "json", name, cwd=BAD)
        data = json.loads(out)
        problems = [error.message for error in validator.iter_errors(data)]
        suite.check(f"JSON of {name} obeys its schema", not problems, problems)
        suite.check(f"JSON and text of {name} have one exit status", status == text_status)
        told = re.findall(rb"^(?:\S+:(\d+):\d+: )?(error|warning|advice): .* \[(SV-\d+)\]$", text, re.M)
        told = [(int(line or 0), severity.decode(), code.decode()) for line, severity, code in told]
        rows = [(f.get("line", 0), f["severity"], f["code"]) for f in data["findings"]]
        suite.check(f"JSON and text of {name} tell the same", rows[:20] == told, f"{rows}\n{told}")
        status, out, _ = suite.run("check", "--format", "sarif", name, cwd=BAD)
        suite.check(f"SARIF and text of {name} have one exit status", status == text_status)
        log = json.loads(out)
        if om:
            judge_sarif(suite, om, name, log, data["findings"])
        if published:
            problems = [f"{list(error.path)}: {error.message}" for error in published.iter_errors(log)]
            suite.check(f"SARIF of {name} obeys the published schema", not problems, problems[:5])
    for finding in data["findings"][:1]:
        finding["severity"] = "doom"
        suite.check("the schema refuses what is wrong", list(validator.iter_errors(data)))
    if om:
        log["runs"][0]["results"].append({"ruleId": "SV-1", "sound": "loud"})
        if published:
            suite.check("the published schema refuses what is wrong", list(published.iter_errors(log)))
        try:
            walk(om, log, "log")
            suite.check("the model refuses what is wrong", False)
        except TypeError:
            suite.check("the model refuses what is wrong", True)


def many_files(suite):
    """Several files make one log, in order, whatever the number of jobs."""
    names = bad_texts()
    for form in ("json", "sarif", "text"):
        first = suite.run("check", "--format", form, *names, cwd=BAD)[1]
        for jobs in ("2", "7"):
            again = suite.run("check", "--format", form, "-j", jobs, *names, cwd=BAD)[1]
            suite.check(f"{form} of many files is the same with {jobs} jobs", again == first)
        if form != "text":
            json.loads(first)


UNREAD = {"SV-101", "SV-103", "SV-104", "SV-105", "SV-106", "SV-108"}


def fixes(suite):
    """check --fix makes what the JSON calls safe, and touches nothing else."""
    total = 0
    with tempfile.TemporaryDirectory() as folder:
        for name in bad_texts():
            raw = text_of(name)
            path = os.path.join(folder, name)
            shutil.copy(os.path.join(BAD, name), path)
            expected, changed = raw, []
            for _ in range(8):
                _, findings, _ = find_json(suite, name, cwd=folder)
                expected, lines = mend(expected, findings, name)
                changed += lines
                if not lines:
                    break
                with open(path, "wb") as file:
                    file.write(expected)
            # A line that does not read even so is left as it was.
            for finding in findings:
                if finding["code"] in UNREAD and finding.get("file") == name and finding["line"] - 1 in changed:
                    now, then = expected.split(b"\n"), raw.split(b"\n")
                    now[finding["line"] - 1] = then[finding["line"] - 1]
                    expected = b"\n".join(now)
                    changed = [line for line in changed if line != finding["line"] - 1]
            made = len(changed)
            with open(path, "wb") as file:
                file.write(raw)
            before = os.stat(path)
            _, out, _ = suite.run("check", "--fix", name, cwd=folder)
            with open(path, "rb") as file:
                got = file.read()
            suite.check(f"--fix of {name} makes its safe changes and no other", got == expected, out.decode(errors="replace"))
            suite.check(f"--fix of {name} counts them", (f"{made} change" in out.decode(errors="replace")) == (made > 0))
            if not made:
                suite.check(f"--fix leaves {name} alone", os.stat(path).st_ino == before.st_ino)
            total += made
    suite.check("changes were made", total > 12, total)


def run(suite):
    forms(suite)
    many_files(suite)
    fixes(suite)
