/* What the frame feels in words: text (80 columns) and Markdown. */
#include "emit/bed.h"

#include "emit/felt.h"
#include "emit/prose.h"

#include <string.h>

/* ---- text ---- */

enum { FACT_INDENT = 14 };

static void put_fact(struct output *out, const char *name, const char *text) {
    put(out, name);
    put_repeat(out, ' ', FACT_INDENT - strlen(name));
    put_wrapped(out, text, FACT_INDENT, FACT_INDENT);
}

static void put_cells(struct output *out, const struct felt_table *table,
                      const char *const *cells) {
    size_t start = out->length, column = 0;
    for (int i = 0; i < table->columns; i++) {
        if (cells[i][0] != '\0') {
            if (column > 0) put_column(out, start, column);
            put(out, cells[i]);
        }
        column += (size_t)table->widths[i];
    }
    put_char(out, '\n');
}

static void put_table(struct output *out, const struct felt_table *table) {
    put_format(out, "\n%s\n", table->title);
    put_repeat(out, '-', WIDTH);
    put_char(out, '\n');
    put_cells(out, table, table->heads);
    for (size_t i = 0; i < table->rows.count; i++)
        put_cells(out, table, table->rows.at[i].cells);
}

static void emit_text(const struct bed *bed, struct output *out) {
    const struct felt *felt = felt_of(bed, out->arena);
    put_format(out, "%s: what the frame feels\n", felt->racket);
    put_repeat(out, '=', WIDTH);
    put_char(out, '\n');
    for (size_t i = 0; i < felt->facts.count; i++)
        put_fact(out, felt->facts.at[i].name, felt->facts.at[i].text);
    for (size_t i = 0; sheet_cautions[i] != NULL; i++)
        put_fact(out, "Caution", sheet_cautions[i]);
    for (size_t i = 0; i < felt->tables.count; i++)
        put_table(out, &felt->tables.at[i]);
    if (felt->line == NULL) return;
    put(out, "\nIn the pattern, in the place of its own tension lines:\n\n  ");
    put_terms(out, felt->line, 2, 4);
}

/* ---- Markdown ---- */

static void put_markdown_row(struct output *out, const struct felt_table *table,
                             const char *const *cells) {
    put_char(out, '|');
    for (int i = 0; i < table->columns; i++) {
        put_char(out, ' ');
        put_markdown(out, cells[i]);
        put(out, " |");
    }
    put_char(out, '\n');
}

static void emit_markdown(const struct bed *bed, struct output *out) {
    const struct felt *felt = felt_of(bed, out->arena);
    put(out, "# ");
    put_markdown(out, felt->racket);
    put(out, ": what the frame feels\n\n");
    for (size_t i = 0; i < felt->facts.count; i++) {
        put_format(out, "- **%s:** ", felt->facts.at[i].name);
        put_markdown(out, felt->facts.at[i].text);
        put_char(out, '\n');
    }
    put_char(out, '\n');
    for (size_t i = 0; sheet_cautions[i] != NULL; i++)
        put_format(out, "> %s  \n", sheet_cautions[i]);
    for (size_t i = 0; i < felt->tables.count; i++) {
        const struct felt_table *table = &felt->tables.at[i];
        put(out, "\n## ");
        put_markdown(out, table->title);
        put(out, "\n\n");
        put_markdown_row(out, table, table->heads);
        put_char(out, '|');
        for (int k = 0; k < table->columns; k++)
            put(out, " --- |");
        put_char(out, '\n');
        for (size_t k = 0; k < table->rows.count; k++)
            put_markdown_row(out, table, table->rows.at[k].cells);
    }
    if (felt->line != NULL)
        put_format(out,
                   "\nIn the pattern, in the place of its own tension lines:\n\n```\n%s\n```\n",
                   felt->line);
}

void emit_bed(const struct bed *bed, enum selvage_bed_form form, struct output *out) {
    switch (form) {
    case SELVAGE_BED_MARKDOWN: emit_markdown(bed, out); break;
    case SELVAGE_BED_JSON: emit_bed_json(bed, out); break;
    case SELVAGE_BED_CSV: emit_bed_csv(bed, out); break;
    case SELVAGE_BED_PICTURE: emit_bed_picture(bed, out); break;
    default: emit_text(bed, out);
    }
}
