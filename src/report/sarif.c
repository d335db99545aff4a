/* Findings as results of SARIF 2.1.0 (OASIS, Static Analysis Results Interchange Format). What was
 * set aside in the text is a suppressed result with its reason. */
#include "report/report.h"

#include "ground/json.h"

#define LEVEL_FAULT "error"
#define LEVEL_ERROR "error"
#define LEVEL_WARNING "warning"
#define LEVEL_ADVICE "note"

/* What comes before the results; every rule as a reportingDescriptor, in the order of the codes. */
static const char *const head[] = {
    "{\"$schema\":\"https://json.schemastore.org/"
    "sarif-2.1.0.json\",\"version\":\"2.1.0\",\"runs\":[{"
    "\"columnKind\":\"unicodeCodePoints\",\"tool\":{\"driver\":{\"name\":\"Selvage\",\"rules\":[",
#define RULE(number, name, severity, stage, needs, title)                                          \
    ",\n{\"id\":\"SV-" #number "\",\"name\":\"" #name "\",\"shortDescription\":{\"text\":\"" title \
    "\"},\"defaultConfiguration\":{\"level\":\"" LEVEL_##severity "\"}}",
#include "report/rules.def"
#undef RULE
    "]}},\"results\":[\n"};

const char *report_sarif_head(size_t part) {
    if (part == 1) return head[part] + 1; /* the first rule has no comma before it */
    return part < sizeof head / sizeof *head ? head[part] : NULL;
}

const char report_sarif_tail[] = "\n]}]}\n";

static const char *level(enum severity severity) {
    static const char *const words[] = {"error", "warning", "note", "none"};
    return words[severity];
}

/* A path as the URI reference that names it (RFC 3986). */
static const char *uri_of(struct arena *arena, const char *path) {
    struct output out = output_to(arena);
    for (; *path != '\0'; path++) {
        unsigned char c = (unsigned char)*path;
        bool plain = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') ||
                     strchr("/._-~", c) != NULL;
        if (plain)
            put_char(&out, (char)c);
        else
            put_format(&out, "%%%X%X", c / 16u, c % 16u);
    }
    return output_text(&out);
}

static void put_artifact(const struct report *report, struct json *j, const struct source *source) {
    json_open(j, "artifactLocation");
    json_string(j, "uri", uri_of(report->arena, source->name));
    json_close(j);
}

static void put_region(const struct report *report, struct json *j, const char *key,
                       struct span span) {
    struct source_place start = source_place(report->sources, span.start),
                        end = source_place(report->sources, span.end);
    json_open(j, key);
    json_int(j, "startLine", (long long)start.line);
    json_int(j, "startColumn", (long long)start.column);
    json_int(j, "endLine", (long long)end.line);
    json_int(j, "endColumn", (long long)end.column);
    json_close(j);
}

static void put_message(struct json *j, const char *key, const char *text) {
    json_open(j, key);
    json_string(j, "text", text);
    json_close(j);
}

/* A location; nothing of a place where the span is none. */
static void put_location(const struct report *report, struct json *j, struct span span,
                         const char *message) {
    const struct source *source = source_at(report->sources, span.start);
    json_open(j, NULL);
    if (source != NULL) {
        json_open(j, "physicalLocation");
        put_artifact(report, j, source);
        put_region(report, j, "region", span);
        json_close(j);
    }
    if (message != NULL) put_message(j, "message", message);
    json_close(j);
}

static void put_fix(const struct report *report, struct json *j, const struct finding *finding) {
    const struct fix *fix = &finding->fix;
    json_open_list(j, "fixes");
    json_open(j, NULL);
    put_message(j, "description", finding->help != NULL ? finding->help : finding->message);
    json_open_list(j, "artifactChanges");
    json_open(j, NULL);
    put_artifact(report, j, source_at(report->sources, fix->span.start));
    json_open_list(j, "replacements");
    json_open(j, NULL);
    put_region(report, j, "deletedRegion", fix->span);
    put_message(j, "insertedContent", fix->text);
    json_close(j);
    json_close_list(j);
    json_close(j);
    json_close_list(j);
    json_close(j);
    json_close_list(j);
}

static void put_suppression(struct json *j, const struct setting *setting) {
    json_open_list(j, "suppressions");
    json_open(j, NULL);
    json_string(j, "kind", span_given(setting->span) ? "inSource" : "external");
    json_string(j, "justification", setting->reason);
    json_close(j);
    json_close_list(j);
}

static void put_result(const struct report *report, struct output *out,
                       const struct finding *finding) {
    struct json json, *j = &json;
    json_begin(j, out);
    const char *message = finding->help == NULL
                              ? finding->message
                              : format(report->arena, "%s; %s", finding->message, finding->help);
    json_open(j, NULL);
    json_string(j, "ruleId", rule_code(report->arena, finding->rule));
    json_int(j, "ruleIndex", (long long)rule_row(finding->rule));
    json_string(j, "level", level(finding->severity));
    put_message(j, "message", message);
    json_open_list(j, "locations");
    if (source_at(report->sources, finding->span.start) != NULL)
        put_location(report, j, finding->span, NULL);
    json_close_list(j);
    if (finding->notes != NULL) {
        json_open_list(j, "relatedLocations");
        for (const struct note *note = finding->notes; note != NULL; note = note->next)
            put_location(report, j, note->span, note->text);
        json_close_list(j);
    }
    if (finding->fix.text != NULL) put_fix(report, j, finding);
    if (finding->severity == SEVERITY_IGNORED) put_suppression(j, finding->setting);
    json_close(j);
    json_end(j);
}

void report_sarif(const struct report *report, struct output *out) {
    const char *between = "";
    for (size_t i = 0; i < report->findings.count; i++) {
        const struct finding *finding = report->findings.at[i];
        if (finding->severity != SEVERITY_IGNORED && finding->severity > report->least) continue;
        put(out, between);
        put_result(report, out, finding);
        between = ",\n";
    }
}
