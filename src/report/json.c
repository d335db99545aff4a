/* Findings as JSON (docs/findings.schema.json). Lines and columns count from 1, columns in
 * characters; the end is the place behind the last character. */
#include "report/report.h"

#include "ground/json.h"

const char *report_json_head(size_t part) {
    return part == 0 ? "{\"schema\":\"selvage-findings/1\",\"findings\":[\n" : NULL;
}

const char report_json_tail[] = "\n]}\n";

/* File, line and column of a span, where it is a place. */
static void put_place(const struct report *report, struct json *j, struct span span) {
    struct source_place start = source_place(report->sources, span.start);
    if (start.source == NULL) return;
    struct source_place end = source_place(report->sources, span.end);
    json_string(j, "file", start.source->name);
    json_int(j, "line", (long long)start.line);
    json_int(j, "column", (long long)start.column);
    json_int(j, "end_line", (long long)end.line);
    json_int(j, "end_column", (long long)end.column);
}

static void put_notes(const struct report *report, struct json *j, const struct note *note) {
    json_open_list(j, "notes");
    for (; note != NULL; note = note->next) {
        json_open(j, NULL);
        json_string(j, "message", note->text);
        put_place(report, j, note->span);
        json_close(j);
    }
    json_close_list(j);
}

static void put_finding(const struct report *report, struct output *out,
                        const struct finding *finding) {
    struct json json, *j = &json;
    json_begin(j, out);
    json_open(j, NULL);
    json_string(j, "code", rule_code(report->arena, finding->rule));
    json_string(j, "severity", severity_word(finding->severity));
    json_string(j, "title", rule_title(finding->rule));
    json_string(j, "message", finding->message);
    put_place(report, j, finding->span);
    if (finding->notes != NULL) put_notes(report, j, finding->notes);
    json_given(j, "help", finding->help);
    if (finding->fix.text != NULL) {
        json_open(j, "fix");
        json_bool(j, "safe", finding->fix.safe);
        put_place(report, j, finding->fix.span);
        json_string(j, "text", finding->fix.text);
        json_close(j);
    }
    json_close(j);
    json_end(j);
}

void report_json(const struct report *report, struct output *out) {
    const char *between = "";
    for (size_t i = 0; i < report->findings.count; i++) {
        const struct finding *finding = report->findings.at[i];
        if (finding->severity > report->least) continue;
        put(out, between);
        put_finding(report, out, finding);
        between = ",\n";
    }
}
