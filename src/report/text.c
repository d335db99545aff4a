/* The report for people. The first line of a finding has the form of the GNU coding standards
 * (file:line:column: message); then the line itself, with carets under what is meant. */
#include "report/report.h"

#include "ground/limits.h"
#include "ground/utf8.h"

#include <string.h>

enum { TAB_STOP = 8, WIDEST = 110, LEFT_OF_CARET = 40 };

static void put_place(struct output *out, struct source_place place) {
    put_format(out, "%s:%zu:%zu: ", place.source->name, place.line, place.display);
}

/* The line with tabs opened, cut to a window that starts after `skip` columns. */
static void put_line(struct output *out, const char *line, size_t length, size_t skip) {
    size_t column = 0;
    for (size_t at = 0, step; at < length && column < skip + WIDEST; at += step) {
        uint32_t c = utf8_decode(line + at, length - at, &step);
        size_t columns = c == '\t'       ? TAB_STOP - column % TAB_STOP
                         : c == UTF8_BAD ? 1
                                         : (size_t)utf8_columns(c);
        if (column >= skip) {
            if (c == '\t')
                put_repeat(out, ' ', columns);
            else if (c == UTF8_BAD || c < ' ' || c == 0x7F)
                put_char(out, '?');
            else
                put_bytes(out, line + at, step);
        }
        column += columns;
    }
}

static void put_snippet(const struct report *report, struct output *out, struct span span,
                        struct source_place place) {
    struct source *source = source_at(report->sources, span.start);
    size_t length;
    const char *line = source_line(report->sources, source, place.line, &length);
    uint32_t line_start = source->base + (uint32_t)(line - source->bytes);
    uint32_t line_end = line_start + (uint32_t)length;
    uint32_t last = span.end < line_end ? span.end : line_end;
    size_t first = place.display - 1;
    size_t after = last > span.start ? source_place(report->sources, last).display - 1 : first;
    size_t skip = first > WIDEST - LEFT_OF_CARET ? first - LEFT_OF_CARET : 0;
    put_format(out, "%5zu | ", place.line);
    put_line(out, line, length, skip);
    put(out, "\n      | ");
    put_repeat(out, ' ', first - skip);
    put_char(out, '^');
    size_t window_end = skip + WIDEST;
    if (after > window_end) after = window_end;
    if (after > first + 1) put_repeat(out, '~', after - first - 1);
    put_char(out, '\n');
}

static void put_finding(const struct report *report, struct output *out,
                        const struct finding *finding) {
    struct source_place place = source_place(report->sources, finding->span.start);
    if (place.source != NULL) put_place(out, place);
    put_format(out, "%s: %s [SV-%d]\n", severity_word(finding->severity), finding->message,
               (int)finding->rule);
    if (place.source != NULL) put_snippet(report, out, finding->span, place);
    for (const struct note *note = finding->notes; note != NULL; note = note->next) {
        place = source_place(report->sources, note->span.start);
        if (place.source != NULL) put_place(out, place);
        put_format(out, "note: %s\n", note->text);
        if (place.source != NULL) put_snippet(report, out, note->span, place);
    }
    if (finding->help != NULL) put_format(out, "  help: %s\n", finding->help);
}

void report_text(const struct report *report, struct output *out) {
    size_t count = report->findings.count;
    for (size_t i = 0; i < count && i < LIMIT_SHOWN; i++)
        put_finding(report, out, report->findings.at[i]);
    size_t all = count + report->dropped;
    if (all > LIMIT_SHOWN) put_format(out, "and %zu more findings\n", all - LIMIT_SHOWN);
}
