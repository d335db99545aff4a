/* Safe changes made and tried: the text is read again, what the next reading knows to mend in it is
 * mended too, and a line that does not read even then stays as it was. */
#include "compile.h"

#include "syntax/reader.h"

#include <string.h>

enum { MOST_ROUNDS = 8 };

/* A text on its way: what has been found in it. */
struct attempt {
    struct source *source;
    const struct report *report;
};

/* Reads a text by itself, with what is set on the command line. */
static struct attempt read_again(struct compilation *c, struct parser *parser,
                                 struct output *text) {
    struct source_map *sources = arena_one(c->arena, struct source_map);
    struct report *report = arena_one(c->arena, struct report);
    *sources = source_map_in(c->arena);
    *report = report_in(c->arena, sources);
    for (size_t i = 0; i < c->report.settings.count; i++)
        if (!span_given(c->report.settings.at[i].span))
            *array_add(c->arena, &report->settings) = c->report.settings.at[i];
    struct source *source = source_add(sources, "", output_text(text), text->length);
    parser_forget(parser);
    if (reader_judge(report, source)) parse(parser, c->arena, report, source);
    report_finish(report);
    return (struct attempt){source, report};
}

static bool cannot_be_read(const struct finding *finding) {
    return finding->rule >= RULE_encoding && finding->rule <= RULE_too_long &&
           finding->rule != RULE_byte_order_mark && finding->rule != RULE_block_open;
}

/* The line after a place, from its first byte. */
static size_t line_end(const struct source *source, size_t at) {
    while (at < source->length && source->bytes[at] != '\n')
        at++;
    return at < source->length ? at + 1 : at;
}

/* Line by line the text as mended, or as it was where `changes` counts none. */
static size_t choose_lines(const struct source *before, const struct source *after,
                           const uint32_t *changes, struct output *out) {
    size_t count = 0, line = 0;
    for (size_t a = 0, b = 0; a < before->length || b < after->length; line++) {
        size_t a_end = line_end(before, a), b_end = line_end(after, b);
        if (changes[line] > 0)
            put_bytes(out, after->bytes + b, b_end - b);
        else
            put_bytes(out, before->bytes + a, a_end - a);
        count += changes[line];
        a = a_end;
        b = b_end;
    }
    return count;
}

size_t mend(struct compilation *c, struct parser *parser, struct output *out) {
    struct source *source = c->sources.sources.at[0];
    size_t lines = 2;
    for (size_t at = 0; at < source->length; at++)
        lines += source->bytes[at] == '\n';
    uint32_t *changes = arena_many(c->arena, uint32_t, lines);
    struct attempt attempt = {source, &c->report};
    for (int round = 0; round < MOST_ROUNDS; round++) {
        struct output text = output_with_room(c->arena, attempt.source->length + 1024);
        if (report_mend(attempt.report, attempt.source, changes, &text) == 0) break;
        attempt = read_again(c, parser, &text);
    }
    if (attempt.source == source) return 0;
    for (size_t i = 0; i < attempt.report->findings.count; i++) {
        const struct finding *finding = attempt.report->findings.at[i];
        if (!cannot_be_read(finding)) continue;
        struct source_place place = source_place(attempt.report->sources, finding->span.start);
        if (place.source != NULL) changes[place.line - 1] = 0;
    }
    return choose_lines(source, attempt.source, changes, out);
}
