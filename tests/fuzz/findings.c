/* Any text to its findings. Claims: findings lie inside the texts, no fault of the compiler itself
 * is told, a text without errors has all its patterns ready, letting go of what will not be emitted
 * changes no finding, a second run gives the same bytes in every form, JSON is JSON, and a mended
 * text can be judged as any other. */
#include "fuzz/target.h"

#include "compile.h"

#include <stdlib.h>
#include <string.h>
#include <yajl/yajl_parse.h>

/* A compilation with its model open. */
struct inside {
    struct compilation c;
    jmp_buf escape;
};

static void judge_span(const struct source_map *map, struct span span) {
    if (!span_given(span)) {
        CLAIM(span.start == 0);
        return;
    }
    CLAIM(span.start <= span.end);
    const struct source *source = source_at(map, span.start);
    CLAIM(source != NULL);
    CLAIM(span.start >= source->base);
    CLAIM(span.end - source->base <= source->length);
}

static void judge_findings(const struct inside *inside) {
    const struct report *report = &inside->c.report;
    size_t counts[SEVERITIES + 1] = {0}; /* the last: set aside */
    for (size_t i = 0; i < report->findings.count; i++) {
        const struct finding *finding = report->findings.at[i];
        counts[finding->severity]++;
        judge_span(&inside->c.sources, finding->span);
        CLAIM(finding->message[0] != '\0');
        CLAIM(finding->rule != RULE_replay_disagrees && finding->rule != RULE_lanes_disagree);
        if (finding->fix.text != NULL) {
            judge_span(&inside->c.sources, finding->fix.span);
            CLAIM(span_given(finding->fix.span));
        }
        for (const struct note *note = finding->notes; note != NULL; note = note->next)
            judge_span(&inside->c.sources, note->span);
    }
    for (int severity = 0; severity < SEVERITIES; severity++)
        CLAIM(report->dropped > 0 || counts[severity] == report->counts[severity]);
}

/* Whether anything found stands in the way of building on the text. */
static bool judge_inside(const struct selvage_request *request) {
    struct arena *arena = arena_new(NULL, (size_t)1 << 30);
    CLAIM(arena != NULL);
    struct inside *inside = arena_try(arena, sizeof *inside);
    struct parser *parser = parser_new();
    CLAIM(inside != NULL && parser != NULL);
    arena_set_escape(arena, &inside->escape);
    inside->c.arena = arena;
    inside->c.sources = source_map_in(arena);
    inside->c.report = report_in(arena, &inside->c.sources);
    if (setjmp(inside->escape) != 0) claim_broken("memory suffices", __FILE__, __LINE__);
    inside->c.library = library_in(arena, &inside->c.report);
    compile(&inside->c, request, parser);
    judge_findings(inside);
    bool blocked = inside->c.report.blocking > 0;
    parser_free(parser);
    arena_free(arena);
    return blocked;
}

/* The findings in every form, kept while other texts are made. */
struct forms {
    char *bytes[SELVAGE_SARIF + 1];
    size_t lengths[SELVAGE_SARIF + 1];
};

static void judge_json(const char *bytes, size_t length) {
    yajl_handle handle = yajl_alloc(NULL, NULL, NULL);
    CLAIM(handle != NULL);
    yajl_config(handle, yajl_allow_partial_values, 0);
    CLAIM(yajl_parse(handle, (const unsigned char *)bytes, length) == yajl_status_ok);
    CLAIM(yajl_complete_parse(handle) == yajl_status_ok);
    yajl_free(handle);
}

/* Rows of findings between brackets are a list. */
static void judge_rows(const struct selvage_text *rows) {
    char *list = malloc(rows->length + 2);
    CLAIM(list != NULL);
    list[0] = '[';
    memcpy(list + 1, rows->bytes, rows->length);
    list[rows->length + 1] = ']';
    judge_json(list, rows->length + 2);
    free(list);
}

static selvage_compilation *compile_again(const struct selvage_request *request,
                                          struct forms *forms) {
    selvage_compilation *compilation = selvage_compile(request);
    CLAIM(compilation != NULL && !selvage_lacked_memory(compilation));
    for (int form = 0; form <= SELVAGE_SARIF; form++) {
        struct selvage_text text;
        CLAIM(selvage_report(compilation, (enum selvage_form)form, SELVAGE_ADVICE, &text));
        CLAIM(strlen(text.bytes) == text.length);
        if (form == SELVAGE_JSON || form == SELVAGE_SARIF) judge_rows(&text);
        forms->lengths[form] = text.length;
        forms->bytes[form] = malloc(text.length + 1);
        CLAIM(forms->bytes[form] != NULL);
        memcpy(forms->bytes[form], text.bytes, text.length);
    }
    return compilation;
}

static void forget(struct forms *forms) {
    for (int form = 0; form <= SELVAGE_SARIF; form++)
        free(forms->bytes[form]);
}

static void judge_same(const selvage_compilation *one, const struct forms *forms,
                       const struct selvage_request *request) {
    struct forms again;
    selvage_compilation *other = compile_again(request, &again);
    CLAIM(selvage_errors(one) == selvage_errors(other));
    CLAIM(selvage_warnings(one) == selvage_warnings(other));
    CLAIM(selvage_first_code(one) == selvage_first_code(other));
    CLAIM(selvage_patterns(one) == selvage_patterns(other));
    for (int form = 0; form <= SELVAGE_SARIF; form++)
        CLAIM(forms->lengths[form] == again.lengths[form] &&
              memcmp(forms->bytes[form], again.bytes[form], again.lengths[form]) == 0);
    forget(&again);
    selvage_free(other);
}

/* The text with its safe changes made is a text again; with none made it is the same. */
static void judge_mended(selvage_compilation *compilation, const struct selvage_request *request) {
    struct selvage_text mended;
    size_t changes;
    CLAIM(selvage_mend(compilation, &mended, &changes));
    bool same = mended.length == request->text.length &&
                memcmp(mended.bytes, request->text.bytes, mended.length) == 0;
    CLAIM(changes > 0 || mended.length == 0 || same);
    struct selvage_request next = *request;
    next.text = mended;
    next.read = NULL;
    selvage_compilation *other = selvage_compile(&next);
    CLAIM(other != NULL);
    selvage_free(other);
}

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t length) {
    struct selvage_request request = {.name = "text.slv",
                                      .text = {(const char *)bytes, length},
                                      .read = target_read,
                                      .context = &request.text};
    bool blocked = judge_inside(&request);
    struct forms forms;
    selvage_compilation *compilation = compile_again(&request, &forms);
    size_t patterns = selvage_patterns(compilation);
    for (size_t i = 0; !blocked && i < patterns; i++)
        CLAIM(selvage_pattern_ready(compilation, i));
    judge_same(compilation, &forms, &request);
    request.findings_only = true;
    judge_same(compilation, &forms, &request);
    judge_mended(compilation, &request);
    forget(&forms);
    selvage_free(compilation);
    return 0;
}
