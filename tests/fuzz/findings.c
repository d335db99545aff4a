/* Any text to its findings. Claims: findings lie inside the texts, no fault of the compiler itself
 * is told, a text without errors has all its patterns ready, letting go of what will not be emitted
 * changes no finding, and a second run gives the same bytes. */
#include "fuzz/target.h"

#include "compile.h"

#include <stdlib.h>
#include <string.h>

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
    size_t counts[SEVERITIES] = {0};
    for (size_t i = 0; i < report->findings.count; i++) {
        const struct finding *finding = report->findings.at[i];
        counts[finding->severity]++;
        judge_span(&inside->c.sources, finding->span);
        CLAIM(finding->message[0] != '\0');
        CLAIM(finding->rule != RULE_replay_disagrees && finding->rule != RULE_lanes_disagree);
        for (const struct note *note = finding->notes; note != NULL; note = note->next)
            judge_span(&inside->c.sources, note->span);
    }
    for (int severity = 0; severity < SEVERITIES; severity++)
        CLAIM(report->dropped > 0 || counts[severity] == report->counts[severity]);
}

static void judge_inside(const struct selvage_request *request) {
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
    parser_free(parser);
    arena_free(arena);
}

static selvage_compilation *compile_again(const struct selvage_request *request,
                                          struct selvage_text *report) {
    selvage_compilation *compilation = selvage_compile(request);
    CLAIM(compilation != NULL);
    CLAIM(selvage_report(compilation, report));
    CLAIM(strlen(report->bytes) == report->length);
    return compilation;
}

static void judge_same(const selvage_compilation *one, const struct selvage_text *text,
                       const struct selvage_request *request) {
    struct selvage_text again;
    selvage_compilation *other = compile_again(request, &again);
    CLAIM(selvage_errors(one) == selvage_errors(other));
    CLAIM(selvage_warnings(one) == selvage_warnings(other));
    CLAIM(selvage_patterns(one) == selvage_patterns(other));
    CLAIM(text->length == again.length && memcmp(text->bytes, again.bytes, again.length) == 0);
    selvage_free(other);
}

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t length) {
    struct selvage_request request = {.name = "text.slv",
                                      .text = {(const char *)bytes, length},
                                      .read = target_read,
                                      .context = &request.text};
    judge_inside(&request);
    struct selvage_text report;
    selvage_compilation *compilation = compile_again(&request, &report);
    size_t patterns = selvage_patterns(compilation);
    for (size_t i = 0; selvage_errors(compilation) == 0 && i < patterns; i++)
        CLAIM(selvage_pattern_ready(compilation, i));
    judge_same(compilation, &report, &request);
    request.findings_only = true;
    judge_same(compilation, &report, &request);
    selvage_free(compilation);
    return 0;
}
