/* The step list in its three forms: text for a terminal and a printer (80 columns), Markdown, CSV.
 */
#include "emit/prose.h"
#include "emit/sheet.h"

#include "ground/units.h"

#include <string.h>

/* "13. ": the place in the order of pulls, as the drawing shows it. */
static const char *nth_words(struct arena *arena, const struct sheet_row *row) {
    return row->nth == 0 ? "" : format(arena, "%d. ", row->nth);
}

/* ---- text ---- */

enum { FACT_INDENT = 17 };

static void put_name(struct output *out, const char *name) {
    put(out, name);
    put_repeat(out, ' ', FACT_INDENT - strlen(name));
}

static void put_fact(struct output *out, const char *name, const char *text) {
    put_name(out, name);
    put_wrapped(out, text, FACT_INDENT, FACT_INDENT);
}

static void put_sheet_fact(struct output *out, const struct sheet_fact *fact) {
    if (!fact->terms) {
        put_fact(out, fact->name, fact->text);
        return;
    }
    put_name(out, fact->name);
    put_terms(out, fact->text, FACT_INDENT, FACT_INDENT);
}

enum { AT_END = 5, AT_STRAND = 12, AT_FIRST = 37, AT_PULL = 47, AT_HOLD = 65 };

static void put_text_row(struct output *out, const struct sheet_row *row) {
    struct arena *arena = out->arena;
    size_t start = out->length;
    put_format(out, "%3d", row->number);
    put_column(out, start, AT_END);
    put(out, row->end);
    if (row->strand != NULL) {
        put_column(out, start, AT_STRAND);
        put_format(out, "%-4s %s", row->strand, row->way);
    }
    if (row->first != NULL) {
        put_column(out, start, AT_FIRST);
        put(out, row->first);
    }
    if (row->pulled != NULL) {
        put_column(out, start, AT_PULL);
        if (row->nth > 0) put_format(out, "%2d. ", row->nth);
        if (row->nth == 0) put(out, "    ");
        put_format(out, "%-4s%s%s", row->pulled, row->force, row->again ? " again" : "");
        if (row->load != NULL) put(out, " ^");
    }
    if (row->hold[0] != '\0') {
        put_column(out, start, AT_HOLD);
        size_t column = out->length - start;
        if (column + strlen(row->hold) > WIDTH && column > AT_STRAND + 1) {
            /* too long for its column: on a line of its own */
            while (out->length > start && out->at[out->length - 1] == ' ')
                out->length--;
            put_char(out, '\n');
            put_repeat(out, ' ', AT_STRAND);
            put_wrapped(out, row->hold, AT_STRAND, AT_STRAND);
        } else {
            put_wrapped(out, row->hold, column, AT_HOLD);
        }
    } else {
        put_char(out, '\n');
    }
    if (row->notes[0] != '\0') {
        put_repeat(out, ' ', AT_STRAND);
        put_wrapped(out, format(arena, "* %s", row->notes), AT_STRAND, AT_STRAND + 2);
    }
}

void emit_steps_text(const struct pattern *pattern, struct output *out) {
    const struct sheet *sheet = sheet_of(pattern, out->arena);
    put_format(out, "%s: %s\n", sheet->racket, sheet->pattern);
    put_repeat(out, '=', WIDTH);
    put_char(out, '\n');
    for (size_t i = 0; i < sheet->facts.count; i++)
        put_sheet_fact(out, &sheet->facts.at[i]);
    for (size_t i = 0; i < sheet->notes.count; i++)
        put_fact(out, "Note", sheet->notes.at[i]);
    for (size_t i = 0; sheet_cautions[i] != NULL; i++)
        put_fact(out, "Caution", sheet_cautions[i]);
    size_t start;
    put_char(out, '\n');
    start = out->length;
    put(out, "  #");
    put_column(out, start, AT_END);
    put(out, "end");
    put_column(out, start, AT_STRAND);
    put(out, "thread or weave");
    put_column(out, start, AT_FIRST);
    put(out, "first");
    put_column(out, start, AT_PULL);
    put(out, "pull");
    put_column(out, start, AT_HOLD);
    put(out, "then\n");
    put_repeat(out, '-', WIDTH);
    put_char(out, '\n');
    for (size_t i = 0; i < sheet->rows.count; i++)
        put_text_row(out, &sheet->rows.at[i]);
}

/* ---- Markdown ---- */

static void put_cell(struct output *out, const char *text) {
    put(out, " ");
    put_markdown(out, text != NULL ? text : "");
    put(out, " |");
}

void emit_steps_markdown(const struct pattern *pattern, struct output *out) {
    struct arena *arena = out->arena;
    const struct sheet *sheet = sheet_of(pattern, arena);
    put(out, "# ");
    put_markdown(out, sheet->racket);
    put(out, ": ");
    put_markdown(out, sheet->pattern);
    put(out, "\n\n");
    for (size_t i = 0; i < sheet->facts.count; i++) {
        put_format(out, "- **%s:** ", sheet->facts.at[i].name);
        put_markdown(out, sheet->facts.at[i].text);
        put_char(out, '\n');
    }
    for (size_t i = 0; i < sheet->notes.count; i++) {
        put(out, "- **Note:** ");
        put_markdown(out, sheet->notes.at[i]);
        put_char(out, '\n');
    }
    put_char(out, '\n');
    for (size_t i = 0; sheet_cautions[i] != NULL; i++)
        put_format(out, "> %s  \n", sheet_cautions[i]);
    put(out, "\n| # | end | thread or weave | from, to | first | pull | then | note |\n"
             "| ---: | --- | --- | --- | --- | --- | --- | --- |\n");
    for (size_t i = 0; i < sheet->rows.count; i++) {
        const struct sheet_row *row = &sheet->rows.at[i];
        put_format(out, "| %d |", row->number);
        put_cell(out, row->end);
        put_cell(out, row->strand);
        put_cell(out, row->way);
        put_cell(out, row->first);
        put_cell(out,
                 row->pulled == NULL
                     ? ""
                     : format(arena, "%s%s %s%s%s", nth_words(arena, row), row->pulled, row->force,
                              row->again ? " again" : "", row->load != NULL ? " ^" : ""));
        put_cell(out, row->hold);
        put_cell(out, row->notes);
        put_char(out, '\n');
    }
}

/* ---- CSV (RFC 4180) ---- */

static void put_field(struct output *out, const char *text, bool last) {
    if (text == NULL) text = "";
    if (strpbrk(text, ",\"\r\n") != NULL) {
        put_char(out, '"');
        for (; *text != '\0'; text++) {
            if (*text == '"') put_char(out, '"');
            put_char(out, *text);
        }
        put_char(out, '"');
    } else {
        put(out, text);
    }
    put(out, last ? "\r\n" : ",");
}

static const char *fixed(struct arena *arena, double value, int decimals) {
    struct output out = output_to(arena);
    put_fixed(&out, value, decimals);
    return output_text(&out);
}

void emit_steps_csv(const struct pattern *pattern, struct output *out) {
    struct arena *arena = out->arena;
    const struct frame *frame = pattern->frame;
    const struct sheet *sheet = sheet_of(pattern, arena);
    bool loads = pattern->bed != NULL;
    put_format(out, "step,end,strand,work,from,to,first,nth,pull,again,lb,kg,N,then,note%s\r\n",
               loads ? ",load" : "");
    for (size_t i = 0; i < sheet->rows.count; i++) {
        const struct sheet_row *row = &sheet->rows.at[i];
        bool pulls = row->pulled != NULL && row->tension > 0;
        put_field(out, format(arena, "%d", row->number), false);
        put_field(out, row->end, false);
        put_field(out, row->strand, false);
        put_field(out, row->strand == NULL ? "" : row->woven ? "weave" : "thread", false);
        put_field(out, row->enter != NO_HOLE ? frame->holes[row->enter].name : "", false);
        put_field(out, row->leave != NO_HOLE ? frame->holes[row->leave].name : "", false);
        put_field(out, row->first, false);
        put_field(out, row->nth > 0 ? format(arena, "%d", row->nth) : "", false);
        put_field(out, row->pulled, false);
        put_field(out, row->again ? "again" : "", false);
        put_field(out, pulls ? fixed(arena, row->tension / NEWTON_PER_LB, 1) : "", false);
        put_field(out, pulls ? fixed(arena, row->tension / NEWTON_PER_KG, 2) : "", false);
        put_field(out, pulls ? fixed(arena, row->tension, 1) : "", false);
        put_field(out, row->hold, false);
        put_field(out, row->notes, !loads);
        if (loads) put_field(out, row->load, true);
    }
}
