/* The public functions: the one place with a setjmp, where memory that runs out ends up. */
#include "compile.h"
#include "emit/catalogue.h"
#include "emit/chart.h"
#include "emit/compare.h"
#include "emit/emit.h"
#include "emit/ways.h"
#include "emit/bed.h"
#include "ground/limits.h"
#include "mechanics/bed.h"
#include "report/pages.h"
#include "report/settings.h"

#include <string.h>

struct selvage_compilation {
    struct compilation inner;
    struct arena *findings; /* what was found, with memory of its own */
    bool lacked_memory;
    jmp_buf escape;
    struct arena_mark compiled; /* what the arena held before any output was written */
    struct pattern *felt;       /* whose bed is the last thing kept there; NULL: none ... */
    struct arena_mark unfelt;   /* ... and what it held before */
};

_Static_assert((int)SELVAGE_MOST_BYTES == (int)LIMIT_SOURCE_BYTES,
               "what a reader reads is what is taken");

/* Enough for the largest output of an ordinary racket: what is not written to costs nothing. */
enum { OUTPUT_ROOM = 120 * 1024 };

const char *selvage_version(void) { return "0.1.0"; }

/* Says that memory ran out, and where, as far as there is any left to say it with. */
static void report_no_memory(selvage_compilation *c) {
    bool too_much = arena_failure(c->inner.arena) == ARENA_OVER_LIMIT ||
                    arena_failure(c->findings) == ARENA_OVER_LIMIT;
    c->lacked_memory = !too_much;
    for (size_t i = 0; i < c->inner.patterns.count; i++)
        c->inner.patterns.at[i].pattern = NULL; /* nothing is built on half a compilation */
    if (setjmp(c->escape) != 0) {
        c->inner.report.counts[SEVERITY_ERROR]++;
        c->inner.report.blocking++;
        return;
    }
    c->inner.report.muted = false;
    report_add(&c->inner.report, RULE_no_memory, c->inner.at, "%s",
               too_much ? "this text asks for more memory than any pattern needs; what follows is "
                          "not looked at"
                        : "there is not enough memory");
    report_finish(&c->inner.report);
}

static void compile_guarded(selvage_compilation *c, const struct selvage_request *request,
                            struct parser *parser) {
    if (setjmp(c->escape) == 0)
        compile(&c->inner, request, parser);
    else
        report_no_memory(c);
}

selvage_compilation *selvage_compile(const struct selvage_request *request) {
    struct arena_source source = {request->get_memory, request->put_memory,
                                  request->memory_context};
    bool own = request->get_memory != NULL && request->put_memory != NULL;
    struct arena *arena =
        arena_new(own ? &source : NULL, request->layout_only ? LIMIT_LAYOUT_MEMORY : LIMIT_MEMORY);
    if (arena == NULL) return NULL;
    selvage_compilation *c = arena_try(arena, sizeof *c);
    struct arena *findings = arena_new(own ? &source : NULL, LIMIT_FINDINGS_MEMORY);
    struct parser *parser = c != NULL && findings != NULL ? parser_new() : NULL;
    if (parser == NULL) {
        arena_free(findings);
        arena_free(arena);
        return NULL;
    }
    arena_set_escape(arena, &c->escape);
    arena_set_escape(findings, &c->escape);
    c->findings = findings;
    c->inner.arena = arena;
    c->inner.sources = source_map_in(arena);
    c->inner.report = report_in(findings, &c->inner.sources);
    if (setjmp(c->escape) != 0) {
        parser_free(parser);
        arena_free(findings);
        arena_free(arena);
        return NULL;
    }
    c->inner.library = library_in(arena, &c->inner.report);
    compile_guarded(c, request, parser);
    parser_free(parser);
    arena_raise(arena, LIMIT_OUTPUT_MEMORY);
    c->compiled = arena_mark(arena);
    return c;
}

void selvage_free(selvage_compilation *c) {
    if (c == NULL) return;
    arena_free(c->findings);
    arena_free(c->inner.arena); /* the compilation itself lies in it */
}

bool selvage_lacked_memory(const selvage_compilation *c) { return c->lacked_memory; }

const char *selvage_misuse(const selvage_compilation *c) { return c->inner.misuse; }

size_t selvage_errors(const selvage_compilation *c) {
    return c->inner.report.counts[SEVERITY_ERROR];
}

size_t selvage_warnings(const selvage_compilation *c) {
    return c->inner.report.counts[SEVERITY_WARNING];
}

int selvage_first_code(const selvage_compilation *c) {
    const struct report *report = &c->inner.report;
    for (size_t i = 0; i < report->findings.count; i++)
        if (report->findings.at[i]->severity < SEVERITIES) return (int)report->findings.at[i]->rule;
    return 0;
}

bool selvage_explain(const char *code, struct selvage_text *page) {
    return page_find(code, &page->bytes, &page->length);
}

size_t selvage_patterns(const selvage_compilation *c) { return c->inner.patterns.count; }

const char *selvage_pattern_name(const selvage_compilation *c, size_t pattern) {
    return c->inner.patterns.at[pattern].name;
}

const char *selvage_pattern_title(const selvage_compilation *c, size_t pattern) {
    const char *title = c->inner.patterns.at[pattern].definition->title.text;
    return title != NULL ? title : c->inner.patterns.at[pattern].name;
}

bool selvage_pattern_ready(const selvage_compilation *c, size_t pattern) {
    const struct pattern *at = c->inner.patterns.at[pattern].pattern;
    return at != NULL && at->planned;
}

bool selvage_setting_known(const char *what) { return setting_list_known(what); }

const char *selvage_report_head(enum selvage_form form, size_t part) {
    return form == SELVAGE_JSON    ? report_json_head(part)
           : form == SELVAGE_SARIF ? report_sarif_head(part)
                                   : NULL;
}

const char *selvage_report_tail(enum selvage_form form) {
    return form == SELVAGE_JSON ? report_json_tail : form == SELVAGE_SARIF ? report_sarif_tail : "";
}

/* What lies in the arena now is not given back before the compilation is. */
static void keep_all(selvage_compilation *c) {
    c->compiled = arena_mark(c->inner.arena);
    c->felt = NULL;
}

bool selvage_report(selvage_compilation *c, enum selvage_form form, enum selvage_severity least,
                    struct selvage_text *text) {
    if (setjmp(c->escape) != 0) return false;
    struct output out = output_to(c->inner.arena);
    c->inner.report.least = (enum severity)least;
    switch (form) {
    case SELVAGE_JSON: report_json(&c->inner.report, &out); break;
    case SELVAGE_SARIF: report_sarif(&c->inner.report, &out); break;
    default: report_text(&c->inner.report, form == SELVAGE_COLOUR, &out);
    }
    *text = (struct selvage_text){output_text(&out), out.length};
    keep_all(c); /* places are remembered in the arena */
    return true;
}

bool selvage_mend(selvage_compilation *c, struct selvage_text *text, size_t *changes) {
    *changes = 0;
    *text = (struct selvage_text){"", 0};
    if (c->inner.sources.sources.count == 0) return true;
    struct parser *parser = parser_new();
    if (parser == NULL) return false;
    if (setjmp(c->escape) != 0) {
        parser_free(parser);
        return false;
    }
    arena_raise(c->inner.arena, LIMIT_MEMORY);
    struct output out =
        output_with_room(c->inner.arena, c->inner.sources.sources.at[0]->length + OUTPUT_ROOM);
    *changes = mend(&c->inner, parser, &out);
    *text = (struct selvage_text){output_text(&out), out.length};
    keep_all(c);
    parser_free(parser);
    return true;
}

enum selvage_result selvage_emit(selvage_compilation *c, size_t pattern, enum selvage_output output,
                                 const struct selvage_text *previous, struct selvage_text *text) {
    if (!selvage_pattern_ready(c, pattern)) return SELVAGE_NOT_READY;
    if (setjmp(c->escape) != 0) return SELVAGE_NO_MEMORY;
    arena_rewind(c->inner.arena, c->compiled);
    struct emission emission = {.pattern = c->inner.patterns.at[pattern].pattern,
                                .out = output_with_room(c->inner.arena, OUTPUT_ROOM)};
    if (previous != NULL) emission.previous = *previous;
    if (!emit_pattern(&emission, output)) return SELVAGE_NO_LIBRARY;
    *text = (struct selvage_text){output_text(&emission.out), emission.out.length};
    return SELVAGE_DONE;
}

static const char *file_of(const selvage_compilation *c) {
    return c->inner.sources.sources.at[0]->name;
}

/* The text a pattern is written in. */
static struct written_text written_text_of(const selvage_compilation *c, size_t pattern) {
    const struct source *source = c->inner.sources.sources.at[0];
    struct span span = c->inner.patterns.at[pattern].definition->span;
    const char *folders = strrchr(source->name, '/');
    return (struct written_text){
        folders != NULL ? folders + 1 : source->name, source->bytes + source->begins,
        span.start - source->base - source->begins, span.end - source->base - source->begins};
}

enum selvage_result selvage_catalogue_page(selvage_compilation *c, size_t pattern,
                                           struct selvage_text *text) {
    if (!selvage_pattern_ready(c, pattern)) return SELVAGE_NOT_READY;
    if (setjmp(c->escape) != 0) return SELVAGE_NO_MEMORY;
    arena_rewind(c->inner.arena, c->compiled);
    struct written_text written = written_text_of(c, pattern);
    struct output out = output_with_room(c->inner.arena, OUTPUT_ROOM);
    emit_pattern_page(c->inner.patterns.at[pattern].pattern, &written, &out);
    *text = (struct selvage_text){output_text(&out), out.length};
    return SELVAGE_DONE;
}

enum selvage_result selvage_catalogue_card(selvage_compilation *c, size_t pattern,
                                           struct selvage_text *text) {
    if (!selvage_pattern_ready(c, pattern)) return SELVAGE_NOT_READY;
    if (setjmp(c->escape) != 0) return SELVAGE_NO_MEMORY;
    arena_rewind(c->inner.arena, c->compiled);
    struct output out = output_to(c->inner.arena);
    emit_card(c->inner.patterns.at[pattern].pattern, &out);
    *text = (struct selvage_text){output_text(&out), out.length};
    return SELVAGE_DONE;
}

const char *selvage_catalogue_head(enum selvage_sides sides, size_t part) {
    return catalogue_head(sides, part);
}
const char *selvage_catalogue_tail(size_t part) { return catalogue_tail(part); }

/* A bed that is worked out is kept until another pattern is felt. */
static void keep_bed(selvage_compilation *c, struct pattern *pattern, const struct bed *bed) {
    pattern->bed = bed;
    c->compiled = arena_mark(c->inner.arena);
    c->felt = pattern;
}

static void let_go_of_bed(selvage_compilation *c) {
    if (c->felt == NULL) return;
    c->felt->bed = NULL;
    c->felt = NULL;
    c->compiled = c->unfelt;
    arena_rewind(c->inner.arena, c->compiled);
}

static enum bed_fault feel(selvage_compilation *c, struct pattern *pattern, bool even) {
    if (pattern->bed == NULL) {
        enum bed_fault fault;
        let_go_of_bed(c);
        c->unfelt = c->compiled;
        const struct bed *bed = bed_of(pattern, &fault, c->inner.arena);
        if (bed == NULL) {
            pattern->not_felt = bed_fault_words(fault);
            return fault;
        }
        keep_bed(c, pattern, bed);
    }
    if (even && pattern->bed->even == NULL)
        keep_bed(c, pattern, bed_with_even_pulls(pattern->bed, c->inner.arena));
    return BED_SOUND;
}

/* Where a value stands that cannot be worked with, and why. */
static struct selvage_text unfit_words(selvage_compilation *c, const struct pattern *pattern,
                                       enum bed_fault fault) {
    bool of_frame = fault == BED_SQUEEZE_TOO_STIFF || fault == BED_SQUEEZE_NO_THROAT;
    struct span span = of_frame ? pattern->frame->squeeze_span : pattern->span;
    struct source_place place = source_place(&c->inner.sources, span.start);
    const char *room =
        fault == BED_SQUEEZE_NO_THROAT ? squeeze_room(pattern->frame, c->inner.arena) : NULL;
    struct output out = output_to(c->inner.arena);
    if (place.source != NULL)
        put_format(&out, "%s:%zu:%zu: ", place.source->name, place.line, place.column);
    put_format(&out, "%s%s%s", bed_fault_words(fault), room != NULL ? ": " : "",
               room != NULL ? room : "");
    const char *words = output_text(&out);
    return (struct selvage_text){words, strlen(words)};
}

static enum selvage_result felt(selvage_compilation *c, const struct pattern *pattern,
                                enum bed_fault fault, struct selvage_text *text) {
    if (fault == BED_SOUND) return SELVAGE_DONE;
    *text = unfit_words(c, pattern, fault);
    keep_all(c); /* places are remembered in the arena */
    return fault == BED_NO_LIBRARY ? SELVAGE_NO_LIBRARY : SELVAGE_UNFIT;
}

enum selvage_result selvage_compare(selvage_compilation *a, size_t pattern_a,
                                    const selvage_compilation *b, size_t pattern_b,
                                    enum selvage_comparison form, struct selvage_text *text) {
    if (!selvage_pattern_ready(a, pattern_a) || !selvage_pattern_ready(b, pattern_b))
        return SELVAGE_NOT_READY;
    if (setjmp(a->escape) != 0) return SELVAGE_NO_MEMORY;
    arena_rewind(a->inner.arena, a->compiled);
    struct comparison comparison = {.patterns = {a->inner.patterns.at[pattern_a].pattern,
                                                 b->inner.patterns.at[pattern_b].pattern},
                                    .count = COMPARED};
    if (strcmp(file_of(a), file_of(b)) != 0) {
        comparison.files[0] = file_of(a);
        comparison.files[1] = file_of(b);
    }
    const char *why = frame_difference(comparison.patterns[0]->frame, comparison.patterns[1]->frame,
                                       a->inner.arena);
    if (why != NULL) {
        *text = (struct selvage_text){why, strlen(why)};
        return SELVAGE_OTHER_FRAME;
    }
    struct output out = output_to(a->inner.arena);
    emit_comparison(&comparison, form, &out);
    *text = (struct selvage_text){output_text(&out), out.length};
    return SELVAGE_DONE;
}

enum selvage_result selvage_search(selvage_compilation *c, size_t pattern, int most,
                                   enum selvage_comparison form, struct selvage_text *text) {
    if (!selvage_pattern_ready(c, pattern)) return SELVAGE_NOT_READY;
    if (setjmp(c->escape) != 0) return SELVAGE_NO_MEMORY;
    arena_rewind(c->inner.arena, c->compiled);
    struct listed_ways ways = {.asked = c->inner.patterns.at[pattern].pattern};
    int wanted = most < 1 ? 1 : most > SELVAGE_MOST_WAYS ? SELVAGE_MOST_WAYS : most;
    find_ways(&c->inner, pattern, wanted, &ways);
    struct output out = output_with_room(c->inner.arena, OUTPUT_ROOM);
    emit_ways(&ways, form, &out);
    *text = (struct selvage_text){output_text(&out), out.length};
    return SELVAGE_DONE;
}

enum selvage_result selvage_feel(selvage_compilation *c, size_t pattern,
                                 struct selvage_text *text) {
    if (!selvage_pattern_ready(c, pattern)) return SELVAGE_NOT_READY;
    if (setjmp(c->escape) != 0) return SELVAGE_NO_MEMORY;
    arena_rewind(c->inner.arena, c->compiled);
    struct pattern *asked = c->inner.patterns.at[pattern].pattern;
    return felt(c, asked, feel(c, asked, false), text);
}

enum selvage_result selvage_bed(selvage_compilation *c, size_t pattern, bool even,
                                enum selvage_bed_form form, struct selvage_text *text) {
    if (!selvage_pattern_ready(c, pattern)) return SELVAGE_NOT_READY;
    if (setjmp(c->escape) != 0) return SELVAGE_NO_MEMORY;
    arena_rewind(c->inner.arena, c->compiled);
    struct pattern *asked = c->inner.patterns.at[pattern].pattern;
    enum selvage_result result = felt(c, asked, feel(c, asked, even), text);
    if (result != SELVAGE_DONE) return result;
    struct output out = output_with_room(c->inner.arena, OUTPUT_ROOM);
    struct bed shown = *asked->bed;
    if (!even) shown.even = NULL; /* asked for before */
    emit_bed(&shown, form, &out);
    *text = (struct selvage_text){output_text(&out), out.length};
    return SELVAGE_DONE;
}

static enum selvage_result patterns_of(struct arena *arena, const struct selvage_item *items,
                                       size_t count, const struct pattern ***patterns) {
    for (size_t i = 0; i < count; i++)
        if (!selvage_pattern_ready(items[i].compilation, items[i].pattern))
            return SELVAGE_NOT_READY;
    *patterns = arena_many(arena, const struct pattern *, count + 1);
    for (size_t i = 0; i < count; i++)
        (*patterns)[i] = items[i].compilation->inner.patterns.at[items[i].pattern].pattern;
    return count > 0 ? SELVAGE_DONE : SELVAGE_NOT_READY;
}

enum selvage_result selvage_plan_chart(selvage_compilation *first, const struct selvage_item *items,
                                       size_t count, struct selvage_chart *chart) {
    struct arena *arena = first->inner.arena;
    const struct pattern **patterns;
    if (setjmp(first->escape) != 0) return SELVAGE_NO_MEMORY;
    arena_rewind(arena, first->compiled);
    enum selvage_result result = patterns_of(arena, items, count, &patterns);
    if (result != SELVAGE_DONE) return result;
    return plan_chart(patterns, count, chart, arena) ? SELVAGE_DONE : SELVAGE_NO_ROOM;
}

enum selvage_result selvage_chart_holds(selvage_compilation *first, const struct selvage_item *item,
                                        const struct selvage_chart *chart) {
    struct arena *arena = first->inner.arena;
    const struct pattern **patterns;
    if (setjmp(first->escape) != 0) return SELVAGE_NO_MEMORY;
    arena_rewind(arena, first->compiled);
    enum selvage_result result = patterns_of(arena, item, 1, &patterns);
    if (result != SELVAGE_DONE) return result;
    return chart_holds(patterns[0], chart, arena) ? SELVAGE_DONE : SELVAGE_NO_ROOM;
}

enum selvage_result selvage_chart_page(selvage_compilation *first, const struct selvage_item *items,
                                       size_t count, const struct selvage_chart *chart, size_t page,
                                       struct selvage_text *text) {
    struct arena *arena = first->inner.arena;
    const struct pattern **patterns;
    if (setjmp(first->escape) != 0) return SELVAGE_NO_MEMORY;
    arena_rewind(arena, first->compiled);
    enum selvage_result result = patterns_of(arena, items, count, &patterns);
    if (result != SELVAGE_DONE) return result;
    struct output out = output_with_room(arena, OUTPUT_ROOM);
    emit_chart_page(patterns, count, chart, page, &out);
    *text = (struct selvage_text){output_text(&out), out.length};
    return SELVAGE_DONE;
}

enum selvage_result selvage_format(selvage_compilation *c, struct selvage_text *text) {
    if (!c->inner.laid_out) return SELVAGE_NOT_READY;
    if (setjmp(c->escape) != 0) return SELVAGE_NO_MEMORY;
    *text = (struct selvage_text){output_text(&c->inner.layout), c->inner.layout.length};
    return SELVAGE_DONE;
}

enum selvage_result selvage_expand(selvage_compilation *c, struct selvage_text *text) {
    if (!c->inner.whole || c->inner.report.blocking > 0) return SELVAGE_NOT_READY;
    struct parser *parser = parser_new();
    if (parser == NULL) return SELVAGE_NO_MEMORY;
    if (setjmp(c->escape) != 0) {
        parser_free(parser);
        return SELVAGE_NO_MEMORY;
    }
    arena_rewind(c->inner.arena, c->compiled);
    struct output out = expand(&c->inner, parser);
    *text = (struct selvage_text){output_text(&out), out.length};
    parser_free(parser);
    return SELVAGE_DONE;
}

const char *selvage_output_suffix(enum selvage_output output) { return emit_suffix(output); }
