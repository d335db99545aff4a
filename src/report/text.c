/* The report for people. The first line of a finding has the form of the GNU coding standards
 * (file:line:column: message); then the line itself, with carets under what is meant. */
#include "report/report.h"

#include "ground/limits.h"
#include "ground/utf8.h"

#include <string.h>

enum { TAB_STOP = 8, WIDEST = 110, LEFT_OF_CARET = 40, MOST_BYTES = 2000 };

/* Colours of ECMA-48, where they are wanted. */
struct palette {
    const char *error, *warning, *advice, *note, *mend, *place, *off;
};

static const struct palette plain = {"", "", "", "", "", "", ""};
static const struct palette coloured = {"\x1b[1;31m", "\x1b[1;35m", "\x1b[1;36m", "\x1b[1;34m",
                                        "\x1b[32m",   "\x1b[1m",    "\x1b[0m"};

static const char *colour_of(const struct palette *palette, enum severity severity) {
    return severity == SEVERITY_ERROR     ? palette->error
           : severity == SEVERITY_WARNING ? palette->warning
                                          : palette->advice;
}

/* A name as the terminal may have it: what would steer it is shown as a question mark. */
static void put_name(struct output *out, const char *name) {
    for (; *name != '\0'; name++)
        put_char(out, (unsigned char)*name < ' ' || *name == 0x7F ? '?' : *name);
}

static void put_place(struct output *out, const struct palette *palette,
                      struct source_place place) {
    put(out, palette->place);
    put_name(out, place.source->name);
    put_format(out, ":%zu:%zu:%s ", place.line, place.display, palette->off);
}

/* The line with tabs opened, cut to a window that starts after `skip` columns. Where `at` lies in
 * it `column` columns stand before. What takes no room is not shown without end. */
static void put_line(struct output *out, const char *line, size_t length, size_t skip, size_t at,
                     size_t column) {
    size_t most = out->length + MOST_BYTES;
    for (size_t step; at < length && column < skip + WIDEST && out->length < most; at += step) {
        uint32_t c = utf8_decode(line + at, length - at, &step);
        size_t columns = c == '\t'       ? TAB_STOP - column % TAB_STOP
                         : c == UTF8_BAD ? 1
                                         : (size_t)utf8_columns(c);
        if (column >= skip) {
            if (c == '\t')
                put_repeat(out, ' ', columns);
            else if (c == UTF8_BAD || c < ' ' || (c >= 0x7F && c <= 0x9F))
                put_char(out, '?');
            else
                put_bytes(out, line + at, step);
        }
        column += columns;
    }
}

static void put_snippet(const struct report *report, struct output *out, const char *colour,
                        const char *off, struct span span, struct source_place place) {
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
    size_t column, from = source_near_column(source, line, skip, &column);
    put_line(out, line, length, skip, from, column);
    put(out, "\n      | ");
    put_repeat(out, ' ', first - skip);
    put(out, colour);
    put_char(out, '^');
    size_t window_end = skip + WIDEST;
    if (after > window_end) after = window_end;
    if (after > first + 1) put_repeat(out, '~', after - first - 1);
    put_format(out, "%s\n", off);
}

/* The line as the change would leave it, where the change stays within a line. */
static void put_mended(const struct report *report, struct output *out,
                       const struct palette *palette, const struct fix *fix) {
    struct source_place place = source_place(report->sources, fix->span.start),
                        end = source_place(report->sources, fix->span.end);
    if (place.line != end.line || strchr(fix->text, '\n') != NULL) return;
    struct source *source = source_at(report->sources, fix->span.start);
    size_t length;
    const char *line = source_line(report->sources, source, place.line, &length);
    size_t from = fix->span.start - source->base - (size_t)(line - source->bytes),
           to = fix->span.end - source->base - (size_t)(line - source->bytes);
    if (to > length || length > MOST_BYTES) return;
    struct output mended = output_to(report->arena);
    put_bytes(&mended, line, from);
    put(&mended, fix->text);
    put_bytes(&mended, line + to, length - to);
    size_t skip =
        place.display - 1 > WIDEST - LEFT_OF_CARET ? place.display - 1 - LEFT_OF_CARET : 0;
    put_format(out, "%s    + | ", palette->mend);
    put_line(out, output_text(&mended), mended.length, skip, 0, 0);
    put_format(out, "%s\n", palette->off);
}

static void put_finding(const struct report *report, struct output *out,
                        const struct palette *palette, const struct finding *finding) {
    struct source_place place = source_place(report->sources, finding->span.start);
    const char *colour = colour_of(palette, finding->severity);
    if (place.source != NULL) put_place(out, palette, place);
    put_format(out, "%s%s:%s %s [SV-%d]\n", colour, severity_word(finding->severity), palette->off,
               finding->message, (int)finding->rule);
    if (place.source != NULL) put_snippet(report, out, colour, palette->off, finding->span, place);
    for (const struct note *note = finding->notes; note != NULL; note = note->next) {
        place = source_place(report->sources, note->span.start);
        if (place.source != NULL) put_place(out, palette, place);
        put_format(out, "%snote:%s %s\n", palette->note, palette->off, note->text);
        if (place.source != NULL)
            put_snippet(report, out, palette->note, palette->off, note->span, place);
    }
    if (finding->help != NULL) put_format(out, "  help: %s\n", finding->help);
    if (finding->fix.text != NULL) put_mended(report, out, palette, &finding->fix);
}

void report_text(const struct report *report, bool colour, struct output *out) {
    const struct palette *palette = colour ? &coloured : &plain;
    size_t all = report->dropped, shown = 0;
    for (size_t i = 0; i < report->findings.count; i++) {
        if (report->findings.at[i]->severity > report->least) continue;
        if (shown < LIMIT_SHOWN)
            put_finding(report, out, palette, report->findings.at[i]);
        else
            all++;
        shown++;
    }
    if (all > 0) put_format(out, "and %zu more finding%s\n", all, all == 1 ? "" : "s");
}
