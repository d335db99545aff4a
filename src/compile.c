/* The way of the data, as code: text to trees to frames and patterns to acts, routes, loops, lanes,
 * moves and weave, with checks after each. A stage reads what those before it left. */
#include "compile.h"

#include "bench/plan.h"
#include "check/check.h"
#include "ground/limits.h"
#include "ground/path.h"
#include "pattern/stages.h"
#include "report/settings.h"
#include "resolve/expand.h"
#include "search/search.h"
#include "syntax/reader.h"

#include <string.h>

enum { MEGABYTE = 1024 * 1024 };

static void read_text(struct compilation *c, const struct selvage_request *request,
                      struct parser *parser, const char *name, struct selvage_text text,
                      struct span used_at, int depth);

/* ---- text to trees ---- */

static bool already_read(const struct compilation *c, const char *path) {
    for (size_t i = 0; i < c->sources.sources.count; i++)
        if (strcmp(c->sources.sources.at[i]->name, path) == 0) return true;
    return false;
}

static void read_used(struct compilation *c, const struct selvage_request *request,
                      struct parser *parser, const char *user, struct tree_name path, int depth) {
    const char *full = path_beside(c->arena, user, path.text);
    if (c->given_up || already_read(c, full)) return;
    if (++c->files > LIMIT_FILES) {
        c->library.damaged = c->given_up = true;
        report_add(&c->report, RULE_too_many, path.span,
                   "this is one more than the %d files a text can use, with all that those use",
                   LIMIT_FILES);
        return;
    }
    if (depth >= LIMIT_USE_DEPTH) {
        c->library.damaged = true;
        report_add(&c->report, RULE_use_deep, path.span, "files use one another more than %d deep",
                   LIMIT_USE_DEPTH);
        return;
    }
    struct selvage_text text = {0};
    if (request->read == NULL || !request->read(request->context, full, &text)) {
        c->library.damaged = true;
        struct finding *finding =
            report_add(&c->report, RULE_use_unread, path.span, "%s cannot be read",
                       path.text[0] != '\0' ? full : "a path without a name");
        finding_help(&c->report, finding, "%s",
                     path.text[0] == '\0' || path.text[strlen(path.text) - 1] == '.'
                         ? "name a file, such as: use \"frames.slv\""
                         : "the path is taken from where this file lies");
        return;
    }
    read_text(c, request, parser, full, text, path.span, depth + 1);
}

/* A text whose bytes have been judged; NULL where it is refused. */
static struct source *take_text(struct compilation *c, const char *name, struct selvage_text text,
                                struct span used_at) {
    if (text.length > LIMIT_SOURCE_BYTES || text.length + c->sources.next > LIMIT_ALL_BYTES + 1) {
        c->given_up = true;
        report_add(&c->report, RULE_too_many, used_at,
                   "%s is too large: a text has %d MB at the most, with all it uses %d MB", name,
                   LIMIT_SOURCE_BYTES / MEGABYTE, LIMIT_ALL_BYTES / MEGABYTE);
        return NULL;
    }
    c->at = used_at;
    struct source *source = source_add(&c->sources, name, text.bytes, text.length);
    return reader_judge(&c->report, source) ? source : NULL;
}

static void read_text(struct compilation *c, const struct selvage_request *request,
                      struct parser *parser, const char *name, struct selvage_text text,
                      struct span used_at, int depth) {
    struct source *source = take_text(c, name, text, used_at);
    if (source == NULL) {
        c->library.damaged = true;
        return;
    }
    const struct tree *tree = parse(parser, c->arena, &c->report, source);
    c->given_up |= tree->given_up;
    library_add(&c->library, tree, depth == 0);
    for (const struct tree_definition *d = tree->definitions; d != NULL; d = d->next)
        if (d->kind == DEFINE_USE) read_used(c, request, parser, name, d->name, depth);
}

/* ---- trees to frames, strings and benches ---- */

static void resolve_kit(struct compilation *c) {
    for (size_t i = 0; i < c->library.entries.count; i++) {
        struct entry *entry = &c->library.entries.at[i];
        c->at = entry->definition->name.span;
        if (entry->definition->kind == DEFINE_FRAME) resolve_frame(&c->library, entry);
        if (entry->definition->kind == DEFINE_STRING) resolve_string(&c->library, entry);
        if (entry->definition->kind == DEFINE_BENCH) resolve_bench(&c->library, entry);
    }
}

/* Where the text cannot be read as a whole, the name may stand in what is not read. */
static void judge_name(struct compilation *c, enum definition_kind kind, const char *kind_word,
                       const char *name) {
    if (name == NULL || c->library.damaged || c->misuse != NULL) return;
    if (library_look(&c->library, kind, name) != NULL) return;
    const char *near = library_nearest(&c->library, kind, name);
    c->misuse = format(c->arena, "--%s: there is no %s called %s%s%s%s", kind_word, kind_word, name,
                       near != NULL ? "; did you mean " : "", near != NULL ? near : "",
                       near != NULL ? "?" : "");
}

/* ---- a pattern, from its block to its moves ---- */

static struct wishes wishes_of(const struct selvage_request *request) {
    enum selvage_sides sides = request->sides;
    return (struct wishes){.string = request->string,
                           .bench = request->bench,
                           .mirror = sides == SELVAGE_MIRRORED,
                           .where_any = request->sides_where_any,
                           .long_side = sides == SELVAGE_LONG_SIDE_LEFT    ? SIDE_LEFT
                                        : sides == SELVAGE_LONG_SIDE_RIGHT ? SIDE_RIGHT
                                                                           : SIDE_UNSAID};
}

/* Findings of a pattern with its sides exchanged speak of other sides than the text: they say so,
 * and nothing is offered to be put into the text. */
static void mark_mirrored(struct compilation *c, const struct pattern *pattern, size_t since) {
    for (size_t i = since; pattern->mirrored && i < c->report.findings.count; i++) {
        struct finding *finding = c->report.findings.at[i];
        finding_note(&c->report, finding, pattern->intents.pieces_span,
                     "strung with its sides exchanged, left for right");
        finding->fix.text = NULL;
    }
}

/* What the report held when a pattern's turn came. */
struct before {
    size_t findings, blocking, own_errors;
};

/* All that follows from its legs, with the checks of each stage. */
static void derive(struct pattern *pattern, struct arena *arena, struct report *report,
                   struct before before) {
    struct subject subject = {pattern->frame, pattern,         arena,
                              report,         before.findings, before.own_errors};
    lay_acts(pattern, arena, report);
    set_tensions(pattern, arena);
    if (pattern->legs_sound) run_checks(&subject, CHECK_LEGS);
    if (!pattern->laid || !pattern->frame->placed) return;
    find_routes(pattern, arena, report);
    if (!pattern->routed) return;
    find_loops(pattern, arena);
    assign_lanes(pattern, arena, report);
    judge_play(pattern, arena);
    run_checks(&subject, CHECK_ROUTES);
    if (report->blocking > before.blocking || pattern->frame->flawed) return;
    plan_moves(pattern, arena, report);
    if (pattern->moves.count == 0) return;
    const char *wrong = replay_moves(pattern, arena);
    if (wrong != NULL) {
        report_add(
            report, RULE_replay_disagrees, pattern->span,
            "the planned moves do not pass their replay (%s): this is a fault of the compiler, "
            "please report it with the file",
            wrong);
        return;
    }
    find_weave(pattern, arena, report);
    measure_cuts(pattern, arena);
    count_work(pattern);
    list_assumptions(pattern, arena);
    run_checks(&subject, CHECK_PLAN);
    pattern->planned = report->blocking == before.blocking;
}

static void compile_pattern(struct compilation *c, struct compiled_pattern *slot,
                            struct before before) {
    struct pattern *pattern = slot->pattern;
    struct report *report = &c->report;
    struct pattern *asked = arena_one(c->arena, struct pattern);
    *asked = *pattern;
    slot->asked = asked;
    if (wants_legs(pattern)) {
        if (report->blocking == before.blocking && pattern->frame->placed &&
            !pattern->frame->flawed)
            find_legs(pattern, c->arena, report, &c->search_left);
        else
            pattern->legs_sound = false; /* what is told comes first */
    }
    derive(pattern, c->arena, report, before);
}

/* ---- other ways to string a pattern ---- */

void find_ways(struct compilation *c, size_t number, int most, struct listed_ways *ways) {
    const struct compiled_pattern *slot = &c->patterns.at[number];
    bool written = slot->pattern->found == NULL;
    struct search_result result =
        search_ways(slot->asked, most, written, LIMIT_SEARCH_NODES, c->arena);
    ways->proved = result.proved;
    ways->complete = result.complete;
    ways->nodes = result.nodes;
    if (written) ways->written = slot->pattern;
    struct source_map no_sources = source_map_in(c->arena);
    struct report silent = report_in(c->arena, &no_sources);
    silent.muted = true;
    for (size_t i = 0; i < result.ways.count; i++) {
        const struct found_way *way = &result.ways.at[i];
        struct pattern *pattern = pattern_with_way(slot->asked, way, c->arena);
        derive(pattern, c->arena, &silent, (struct before){0});
        if (!pattern->planned) continue;
        ways->at[ways->count++] =
            (struct listed_way){pattern, way->cost, way->mains_from, way->crosses_from};
    }
}

/* The findings that concern a pattern, for the emitters, which know no report. What concerns all is
 * worked out once. */
static void collect_remarks(struct compilation *c, struct pattern *pattern, size_t subject,
                            const struct remark **of_all) {
    for (size_t i = 0; i < c->report.findings.count; i++) {
        const struct finding *finding = c->report.findings.at[i];
        if (!finding_concerns(finding, subject)) continue;
        if (of_all[i] == NULL) {
            struct remark *remark = arena_one(c->arena, struct remark);
            struct source_place place = source_place(&c->sources, finding->span.start);
            *remark = (struct remark){rule_code(c->arena, finding->rule),
                                      severity_word(finding->severity),
                                      rule_title(finding->rule),
                                      finding->message,
                                      place.source != NULL ? place.source->name : NULL,
                                      place.line,
                                      place.column};
            of_all[i] = remark;
        }
        *array_add(c->arena, &pattern->remarks) = of_all[i];
    }
}

/* ---- the text again: in the one layout, its legs written out ---- */

/* A text hardly grows by being laid out: room that is not used is never taken. */
static struct output room_for_layout(struct compilation *c, size_t length) {
    return output_with_room(c->arena, length + length / 4 + MEGABYTE / 64);
}

static void format_text(struct compilation *c, const struct selvage_request *request,
                        struct parser *parser) {
    struct source *source = take_text(c, request->name, request->text, (struct span){0});
    if (source != NULL) {
        c->layout = room_for_layout(c, source->length);
        c->laid_out = lay_out(parser, c->arena, &c->report, source, &c->layout);
    }
    report_finish(&c->report);
}

struct output expand(struct compilation *c, struct parser *parser) {
    struct source *source = c->sources.sources.at[0];
    struct expansion expansion = expansion_of(c->arena, source, &c->report);
    for (size_t i = 0; i < c->patterns.count; i++)
        if (c->patterns.at[i].pattern != NULL)
            expand_pattern(&expansion, c->patterns.at[i].definition, c->patterns.at[i].pattern);
    expansion_end(&expansion);
    const char *text = output_text(&expansion.out);
    size_t length = expansion.out.length;
    struct source_map sources = source_map_in(c->arena);
    struct report report = report_in(c->arena, &sources);
    struct output out = room_for_layout(c, length);
    lay_out(parser, c->arena, &report, source_add(&sources, source->name, text, length), &out);
    return out;
}

static bool is_asked_for(const struct selvage_request *request, const char *name) {
    if (request->pattern == NULL || strcmp(request->pattern, name) == 0) return true;
    return request->second != NULL && strcmp(request->second, name) == 0;
}

void compile(struct compilation *c, const struct selvage_request *request, struct parser *parser) {
    if (request->layout_only) {
        format_text(c, request, parser);
        return;
    }
    for (size_t i = 0; i < request->setting_count; i++)
        setting_for_run(&c->report, request->settings[i].what,
                        (enum severity)request->settings[i].severity);
    read_text(c, request, parser, request->name, request->text, (struct span){0}, 0);
    resolve_kit(c);
    c->search_left = LIMIT_SEARCH_ALL;
    struct wishes wishes = wishes_of(request);
    judge_name(c, DEFINE_STRING, "string", request->string);
    judge_name(c, DEFINE_BENCH, "bench", request->bench);
    for (size_t i = 0; i < c->library.entries.count; i++) {
        const struct tree_definition *definition = c->library.entries.at[i].definition;
        if (definition->kind != DEFINE_PATTERN) continue;
        struct compiled_pattern *slot = array_add(c->arena, &c->patterns);
        slot->name = definition->name.text;
        slot->definition = definition;
        if (!is_asked_for(request, slot->name)) continue;
        c->report.subject = c->patterns.count;
        c->at = definition->name.span;
        struct before before = {c->report.findings.count, c->report.blocking, c->report.own_errors};
        struct arena_mark mark = arena_mark(c->arena);
        slot->pattern = resolve_pattern(&c->library, definition, &wishes);
        if (slot->pattern != NULL) compile_pattern(c, slot, before);
        if (slot->pattern != NULL) mark_mirrored(c, slot->pattern, before.findings);
        if (!request->findings_only) continue;
        arena_rewind(c->arena, mark);
        slot->pattern = NULL;
    }
    bool whole = request->pattern == NULL && c->report.blocking == 0;
    c->report.subject = 0;
    if (whole && request->string == NULL && request->bench == NULL)
        library_judge_unused(&c->library);
    if (whole && request->sides == SELVAGE_AS_WRITTEN && c->sources.sources.count > 0)
        judge_idle_settings(&c->report, c->sources.sources.at[0]);
    report_finish(&c->report);
    if (request->findings_only) return;
    c->whole = true;
    const struct remark **of_all =
        arena_many(c->arena, const struct remark *, c->report.findings.count + 1);
    for (size_t i = 0; i < c->patterns.count; i++) {
        struct pattern *pattern = c->patterns.at[i].pattern;
        if (pattern != NULL && pattern->planned) collect_remarks(c, pattern, i + 1, of_all);
    }
}
