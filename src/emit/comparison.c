/* A comparison in its three forms: text (80 columns), Markdown, JSON
 * (docs/compare.schema.json). */
#include "emit/compare.h"
#include "emit/felt.h"
#include "emit/prose.h"
#include "emit/sheet.h"
#include "ground/json.h"
#include "ground/utf8.h"

#include <string.h>

static const char *const letters[COMPARED] = {"A", "B"};

static const char *less_word(enum compared_less less) {
    static const char *const words[] = {"", "A", "B", "same"};
    return words[less];
}

/* "kestrel-world: Around the world, one piece", with its file where there are two. */
static const char *name_of(const struct comparison *c, struct arena *arena, int which) {
    const struct pattern *pattern = c->patterns[which];
    struct output out = output_to(arena);
    put(&out, pattern->name);
    if (c->files[which] != NULL) put_format(&out, ", in %s", c->files[which]);
    if (pattern->title != NULL) put_format(&out, ": %s", pattern->title);
    if (pattern->mirrored) put(&out, "; its sides exchanged, left for right");
    return output_text(&out);
}

static void put_string(struct output *out, const char *head, const struct string *string,
                       const char *kind) {
    put_format(out, "%s %s%s", head, string->title != NULL ? string->title : string->name, kind);
}

static bool begins_with(const char *text, const char *head) {
    return strncmp(text, head, strlen(head)) == 0;
}

/* Whether an assumed value tells the two apart: not what is of the frame, or alike in every
 * pattern, or goes with a string or a bench that is not named at all. */
static bool worth_telling(const struct pattern *pattern, const struct assumption *assumption) {
    const char *what = assumption->what;
    if (assumption->words == NULL || begins_with(what, "frame.")) return false;
    if (begins_with(what, "string."))
        return pattern->mains_string != NULL && strcmp(what, "string.tail") != 0;
    return !begins_with(what, "bench.") || pattern->bench->name != NULL;
}

/* "string Soft 1.25, bench Corner bench; assumed: long side right": what it is strung with. */
static const char *kit_of(const struct pattern *pattern, struct arena *arena) {
    const struct string *mains = pattern->mains_string, *crosses = pattern->crosses_string;
    const struct bench *bench = pattern->bench;
    struct output out = output_to(arena);
    if (mains == NULL && crosses == NULL) {
        put(&out, "no string named");
    } else if (mains == crosses) {
        put_string(&out, "string", mains, "");
    } else {
        put_string(&out, "strings", mains, " in the mains");
        put_string(&out, " and", crosses, " in the crosses");
    }
    if (bench->name != NULL)
        put_format(&out, ", bench %s", bench->title != NULL ? bench->title : bench->name);
    else
        put(&out, ", assumed bench");
    const char *before = "; assumed: ";
    for (size_t i = 0; i < pattern->assumed.count; i++) {
        if (!worth_telling(pattern, &pattern->assumed.at[i])) continue;
        put_format(&out, "%s%s", before, pattern->assumed.at[i].words);
        before = ", ";
    }
    return output_text(&out);
}

static const char *racket_of(const struct comparison *c, struct arena *arena) {
    const struct frame *frame = c->patterns[0]->frame;
    return format(arena, "%s, %s", frame_title(frame), pattern_size(frame, arena));
}

static const char felt_title[] = "What the frame feels";
static const char felt_legend[] =
    "Tensions are off the machine; unlike by is their standard deviation. What string loses over "
    "time and friction are left out. Changes are judged by size, and less is named only where it "
    "is so in every set.";

static const char legend[] = "The last column names the one with less, where less is better. What "
                             "a difference is worth is for you to say.";

/* ---- text ---- */

enum { AT_A = 32, AT_B = 54, AT_LESS = 76 };

/* Line `line` of a value: a list has one for each of its words. NULL: no more. */
static const char *line_of(const struct compared_value *value, size_t line) {
    if (value->list == NULL) return line > 0 ? NULL : value->known ? value->shown : "-";
    for (size_t i = 0; i < line; i++)
        if (value->list[i] == NULL) return NULL;
    return value->list[line];
}

static void put_text_row(struct output *out, const struct compared_row *row) {
    for (size_t line = 0;; line++) {
        const char *a = line_of(&row->values[0], line), *b = line_of(&row->values[1], line);
        if (a == NULL && b == NULL) return;
        size_t start = out->length;
        if (line == 0) put(out, row->name);
        if (a != NULL) {
            put_column(out, start, AT_A);
            put(out, a);
        }
        if (b != NULL) {
            put_column(out, start, AT_B);
            put(out, b);
        }
        if (line == 0 && row->less != NOT_JUDGED) {
            put_column(out, start, AT_LESS);
            put(out, less_word(row->less));
        }
        put_char(out, '\n');
    }
}

enum { RANGED_A = 24, RANGED_B = 50 };

static void put_rule(struct output *out, size_t at_a, size_t at_b) {
    size_t start = out->length;
    put_column(out, start, at_a);
    put_char(out, 'A');
    put_column(out, start, at_b);
    put_char(out, 'B');
    put_column(out, start, AT_LESS);
    put(out, "less\n");
    put_repeat(out, '-', WIDTH);
    put_char(out, '\n');
}

static void put_text_beds(struct output *out, const struct compared_beds *beds) {
    put_char(out, '\n');
    if (beds->left_out != NULL) {
        put_wrapped(out, beds->left_out, 0, 0);
        return;
    }
    put_format(out, "%s\n", felt_title);
    put_wrapped(out, beds->ranges, 0, 0);
    if (beds->assumed[0] != '\0') put_wrapped(out, beds->assumed, 0, 0);
    put_wrapped(out, felt_legend, 0, 0);
    put_char(out, '\n');
    put_rule(out, RANGED_A, RANGED_B);
    for (size_t i = 0; i < beds->rows.count; i++) {
        const struct ranged_row *row = &beds->rows.at[i];
        size_t start = out->length;
        put(out, row->name);
        put_column(out, start, RANGED_A);
        put(out, row->shown[0]);
        put_column(out, start, RANGED_B);
        put(out, row->shown[1]);
        if (row->less != NOT_JUDGED) {
            put_column(out, start, AT_LESS);
            put(out, less_word(row->less));
        }
        put_char(out, '\n');
        start = out->length;
        put(out, "    B minus A");
        put_column(out, start, RANGED_A);
        put_format(out, "%s\n", row->shown_difference);
    }
}

static void emit_text(const struct comparison *c, const struct compared_beds *beds,
                      struct output *out) {
    struct arena *arena = out->arena;
    put_wrapped(out, format(arena, "%s: two patterns", racket_of(c, arena)), 0, 0);
    put_repeat(out, '=', WIDTH);
    put_char(out, '\n');
    for (int i = 0; i < COMPARED; i++) {
        put_format(out, "%s  ", letters[i]);
        put_wrapped(out, name_of(c, arena, i), 3, 3);
        put_repeat(out, ' ', 3);
        put_wrapped(out, kit_of(c->patterns[i], arena), 3, 3);
    }
    put_char(out, '\n');
    put_wrapped(out, legend, 0, 0);
    put_char(out, '\n');
    put_rule(out, AT_A, AT_B);
    for (size_t i = 0; i < c->rows.count; i++)
        put_text_row(out, &c->rows.at[i]);
    put_text_beds(out, beds);
}

/* ---- Markdown ---- */

static void put_value(struct output *out, const struct compared_value *value) {
    put_char(out, ' ');
    if (value->list == NULL) put_markdown(out, value->known ? value->shown : "");
    for (size_t i = 0; value->list != NULL && value->list[i] != NULL; i++)
        put_format(out, "%s%s", i > 0 ? ", " : "", value->list[i]);
    put(out, " |");
}

static void put_paragraph(struct output *out, const char *text) {
    put_char(out, '\n');
    put_markdown(out, text);
    put_char(out, '\n');
}

static void put_row_name(struct output *out, const char *name) {
    size_t indent = strspn(name, " ");
    put_format(out, "| %s%s |", indent > 0 ? "... " : "", name + indent);
}

static void put_markdown_beds(struct output *out, const struct compared_beds *beds) {
    if (beds->left_out != NULL) {
        put_paragraph(out, beds->left_out);
        return;
    }
    put_format(out, "\n## %s\n", felt_title);
    put_paragraph(out, beds->ranges);
    if (beds->assumed[0] != '\0') put_paragraph(out, beds->assumed);
    put_paragraph(out, felt_legend);
    put(out, "\n| | A | B | B minus A | less |\n| --- | --- | --- | --- | --- |\n");
    for (size_t i = 0; i < beds->rows.count; i++) {
        const struct ranged_row *row = &beds->rows.at[i];
        put_row_name(out, row->name);
        put_format(out, " %s | %s | %s | %s |\n", row->shown[0], row->shown[1],
                   row->shown_difference, less_word(row->less));
    }
}

static void emit_markdown(const struct comparison *c, const struct compared_beds *beds,
                          struct output *out) {
    struct arena *arena = out->arena;
    put(out, "# ");
    put_markdown(out, racket_of(c, arena));
    put(out, ": two patterns\n\n");
    for (int i = 0; i < COMPARED; i++) {
        put_format(out, "- **%s:** ", letters[i]);
        put_markdown(out, name_of(c, arena, i));
        put(out, "  \n  ");
        put_markdown(out, kit_of(c->patterns[i], arena));
        put_char(out, '\n');
    }
    put_format(out, "\n%s\n\n| | A | B | less |\n| --- | --- | --- | --- |\n", legend);
    for (size_t i = 0; i < c->rows.count; i++) {
        const struct compared_row *row = &c->rows.at[i];
        put_row_name(out, row->name);
        for (int k = 0; k < COMPARED; k++)
            put_value(out, &row->values[k]);
        put_format(out, " %s |\n", less_word(row->less));
    }
    put_markdown_beds(out, beds);
}

/* ---- JSON ---- */

static void json_value(struct json *j, const char *key, const struct compared_row *row,
                       const struct compared_value *value) {
    if (!value->known) {
        json_key(j, key);
        json_null(j);
    } else if (row->as == AS_LIST) {
        json_open_list(j, key);
        for (size_t i = 0; value->list[i] != NULL; i++)
            json_text(j, value->list[i]);
        json_close_list(j);
    } else if (row->as == AS_WORDS) {
        json_string(j, key, value->shown);
    } else {
        json_real(j, key, value->number);
    }
}

static const char *less_key(enum compared_less less) {
    static const char *const words[] = {NULL, "a", "b", "same"};
    return words[less];
}

static void json_row(struct json *j, const struct compared_row *row) {
    static const char *const units[] = {NULL, "mm", "mm", "mm", "s", "N", NULL, NULL};
    json_open_row(j);
    json_string(j, "row", row->key);
    json_given(j, "unit", units[row->as]);
    json_value(j, "a", row, &row->values[0]);
    json_value(j, "b", row, &row->values[1]);
    json_given(j, "less", less_key(row->less));
    json_close(j);
}

/* What it is strung with: a string, or none, for each piece. */
static void json_kit(struct json *j, const struct pattern *pattern) {
    json_open_list(j, "strings");
    for (int i = 0; i < pattern->string_count; i++) {
        if (pattern->pieces[i].string != NULL)
            json_text(j, pattern->pieces[i].string->name);
        else
            json_null(j);
    }
    json_close_list(j);
    json_key(j, "bench");
    if (pattern->bench->name != NULL)
        json_text(j, pattern->bench->name);
    else
        json_null(j);
    json_open_list(j, "assumed");
    for (size_t i = 0; i < pattern->assumed.count; i++)
        json_text(j, pattern->assumed.at[i].what);
    json_close_list(j);
}

static void json_words(struct json *j, const char *key, const char *const *words, size_t count) {
    json_open_list(j, key);
    for (size_t i = 0; i < count; i++)
        json_text(j, words[i]);
    json_close_list(j);
}

static void json_beds(struct json *j, const struct compared_beds *beds) {
    static const char *const units[] = {"N", "mm", "N m"};
    json_line(j);
    json_open(j, "felt");
    json_given(j, "left_out", beds->left_out);
    if (beds->left_out == NULL) {
        json_int(j, "sets", beds->sets);
        json_string(j, "ranges", beds->ranges);
        json_line(j);
        json_open(j, "assumed");
        json_words(j, "both", beds->both.at, beds->both.count);
        json_words(j, "a", beds->own[0].at, beds->own[0].count);
        json_words(j, "b", beds->own[1].at, beds->own[1].count);
        json_close(j);
        json_open_rows(j, "rows");
        for (size_t i = 0; i < beds->rows.count; i++) {
            const struct ranged_row *row = &beds->rows.at[i];
            double unit = row->as == RANGED_MOMENT ? N_MM_PER_N_M : 1;
            json_open_row(j);
            json_string(j, "row", row->key);
            json_string(j, "unit", units[row->as]);
            json_range(j, "a", row->values[0], unit);
            json_range(j, "b", row->values[1], unit);
            json_range(j, "difference", row->difference, unit);
            json_bool(j, "clear", row->clear);
            json_given(j, "less", less_key(row->less));
            json_close(j);
        }
        json_close_rows(j);
    }
    json_close(j);
}

static void emit_json(const struct comparison *c, const struct compared_beds *beds,
                      struct output *out) {
    static const char *const keys[COMPARED] = {"a", "b"};
    struct json json, *j = &json;
    json_begin_text(j, out, "selvage-compare/1");
    json_line(j);
    json_string(j, "frame", c->patterns[0]->frame->name);
    for (int i = 0; i < COMPARED; i++) {
        json_line(j);
        json_open(j, keys[i]);
        json_string(j, "name", c->patterns[i]->name);
        json_given(j, "title", c->patterns[i]->title);
        json_given(j, "file", c->files[i]);
        if (c->patterns[i]->mirrored) json_bool(j, "mirrored", true);
        json_kit(j, c->patterns[i]);
        json_close(j);
    }
    json_open_rows(j, "rows");
    for (size_t i = 0; i < c->rows.count; i++)
        json_row(j, &c->rows.at[i]);
    json_close_rows(j);
    json_beds(j, beds);
    json_end_text(j);
}

void emit_comparison(struct comparison *comparison, enum selvage_comparison form,
                     struct output *out) {
    compare_rows(comparison, out->arena);
    const struct compared_beds *beds = compared_beds(comparison, out->arena);
    switch (form) {
    case SELVAGE_COMPARE_MARKDOWN: emit_markdown(comparison, beds, out); break;
    case SELVAGE_COMPARE_JSON: emit_json(comparison, beds, out); break;
    default: emit_text(comparison, beds, out);
    }
}
