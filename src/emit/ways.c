/* The best ways to string a pattern in three forms: text (80 columns), Markdown, JSON
 * (docs/search.schema.json). */
#include "emit/ways.h"

#include "emit/compare.h"
#include "emit/prose.h"
#include "emit/sheet.h"
#include "ground/json.h"
#include "pattern/written.h"

#include <string.h>

static const char *size_words(const struct listed_ways *ways, struct arena *arena) {
    const struct frame *frame = ways->asked->frame;
    return format(arena, "%s, %s%s", frame_title(frame), pattern_size(frame, arena),
                  ways->asked->mirrored ? "; its sides exchanged, left for right" : "");
}

static const char *summary(const struct listed_ways *ways, struct arena *arena) {
    const char *count = ways->count == 0   ? "no way to string it"
                        : !ways->proved    ? "the best found so far"
                        : ways->count == 1 ? "the best way to string it"
                                           : format(arena,
                                                    "the best %d ways to string it, "
                                                    "different in kind",
                                                    ways->count);
    const char *proved = ways->complete ? "nothing is better than the first"
                         : ways->proved ? "nothing is better than the first, but the search for "
                                          "others was cut short"
                                        : "the search was cut short, there may be better ones";
    if (ways->count == 0 && ways->proved) return format(arena, "%s: %s", ways->asked->name, count);
    return format(arena, "%s: %s; %s", ways->asked->name, count, proved);
}

static const char *kind_words(const struct listed_way *way, struct arena *arena) {
    struct output out = output_to(arena);
    if (way->mains_from != PLACE_UNSAID)
        put_format(&out, "mains from the %s, ", place_word(way->mains_from));
    if (way->crosses_from != PLACE_UNSAID)
        put_format(&out, "crosses from the %s, ", place_word(way->crosses_from));
    if (way->pattern->intents.pieces == 1)
        put_format(&out, "long side %s, ", side_word(way->pattern->intents.long_side.side));
    put_format(&out, "late mains %d", (int)way->cost[AIM_LATE_MAINS]);
    return output_text(&out);
}

/* The legs, each a line without a break. */
static const char *legs_text(const struct pattern *pattern, struct arena *arena) {
    struct output out = output_to(arena);
    struct leg_comments none = {"", ""};
    write_legs(pattern, 0, pattern->acts.count, none, &out);
    return output_text(&out);
}

/* The next line of a text; `*from` goes on behind it. NULL: no more. */
static const char *next_line(struct arena *arena, const char **from) {
    while (**from == '\n')
        (*from)++;
    size_t length = strcspn(*from, "\n");
    if (length == 0) return NULL;
    const char *line = arena_copy(arena, *from, length);
    *from += length;
    return line;
}

/* ---- the figures ---- */

static struct comparison compare_all(const struct listed_ways *ways, struct arena *arena) {
    struct comparison comparison = {.count = 0};
    if (ways->written != NULL) comparison.patterns[comparison.count++] = ways->written;
    for (int i = 0; i < ways->count; i++)
        comparison.patterns[comparison.count++] = ways->at[i].pattern;
    if (comparison.count > 0) compare_rows(&comparison, arena);
    return comparison;
}

/* What stands in the legs, or is the same for all, needs no row. */
static bool worth_a_row(const struct compared_row *row) {
    return row->as != AS_LIST && row->as != AS_WORDS && row->as != AS_FORCE;
}

static const char *column_name(const struct listed_ways *ways, struct arena *arena, int column) {
    bool written = ways->written != NULL;
    if (written && column == 0) return "written";
    return format(arena, "%d", column + 1 - written);
}

/* ---- text ---- */

enum { AT_FIRST = 32, COLUMN = 8 };

static void put_heading(const struct listed_ways *ways, struct output *out) {
    put_wrapped(out, size_words(ways, out->arena), 0, 0);
    put_wrapped(out, summary(ways, out->arena), 0, 0);
    put_repeat(out, '=', WIDTH);
    put_char(out, '\n');
}

static void put_table(const struct listed_ways *ways, struct output *out) {
    struct comparison comparison = compare_all(ways, out->arena);
    size_t start = out->length;
    for (int i = 0; i < comparison.count; i++) {
        put_column(out, start, (size_t)(AT_FIRST + COLUMN * i));
        put(out, column_name(ways, out->arena, i));
    }
    put_char(out, '\n');
    put_repeat(out, '-', WIDTH);
    put_char(out, '\n');
    for (size_t r = 0; r < comparison.rows.count; r++) {
        const struct compared_row *row = &comparison.rows.at[r];
        if (!worth_a_row(row)) continue;
        start = out->length;
        put(out, row->name);
        for (int i = 0; i < comparison.count; i++) {
            put_column(out, start, (size_t)(AT_FIRST + COLUMN * i));
            put(out, row->values[i].known ? row->values[i].shown : "-");
        }
        put_char(out, '\n');
    }
}

static void emit_text(const struct listed_ways *ways, struct output *out) {
    put_heading(ways, out);
    for (int i = 0; i < ways->count; i++) {
        put_format(out, "%d  ", i + 1);
        put_wrapped(out, kind_words(&ways->at[i], out->arena), 3, 3);
        const char *legs = legs_text(ways->at[i].pattern, out->arena);
        for (const char *line; (line = next_line(out->arena, &legs)) != NULL;) {
            put_repeat(out, ' ', 5);
            put_wrapped(out, line, 5, 9);
        }
        put_char(out, '\n');
    }
    put_table(ways, out);
}

/* ---- Markdown ---- */

static void emit_markdown(const struct listed_ways *ways, struct output *out) {
    struct arena *arena = out->arena;
    put(out, "# ");
    put_markdown(out, size_words(ways, arena));
    put(out, "\n\n");
    put_markdown(out, summary(ways, arena));
    put(out, ".\n");
    for (int i = 0; i < ways->count; i++) {
        put_format(out, "\n%d. %s\n\n", i + 1, kind_words(&ways->at[i], arena));
        const char *legs = legs_text(ways->at[i].pattern, arena);
        for (const char *line; (line = next_line(arena, &legs)) != NULL;)
            put_format(out, "       %s\n", line);
    }
    struct comparison comparison = compare_all(ways, arena);
    put(out, "\n|");
    for (int i = 0; i < comparison.count; i++)
        put_format(out, " | %s", column_name(ways, arena, i));
    put(out, " |\n| ---");
    for (int i = 0; i < comparison.count; i++)
        put(out, " | ---");
    put(out, " |\n");
    for (size_t r = 0; r < comparison.rows.count; r++) {
        const struct compared_row *row = &comparison.rows.at[r];
        if (!worth_a_row(row)) continue;
        size_t indent = strspn(row->name, " ");
        put_format(out, "| %s%s", indent > 0 ? "... " : "", row->name + indent);
        for (int i = 0; i < comparison.count; i++)
            put_format(out, " | %s", row->values[i].known ? row->values[i].shown : "");
        put(out, " |\n");
    }
}

/* ---- JSON ---- */

static void json_aims(struct json *j, const int64_t *cost) {
    static const char *const keys[] = {"late_mains", "loops_over", "longest_loop", "loop_length",
                                       "changes"};
    json_open(j, "aims");
    for (int aim = 0; aim < AIMS; aim++) {
        bool length = aim == AIM_LONGEST_LOOP || aim == AIM_LOOP_LENGTH;
        if (length)
            json_real(j, keys[aim], (double)cost[aim] / 1000);
        else
            json_int(j, keys[aim], cost[aim]);
    }
    json_close(j);
}

static void json_pulls(struct json *j, const struct pattern *pattern) {
    json_open_rows(j, "pulls");
    for (size_t i = 0; i < pattern->acts.count; i++) {
        const struct act *act = &pattern->acts.at[i];
        if (act->kind != ACT_PULL) continue;
        const struct end *end = &pattern->ends[act->end];
        const struct pass *pass = &end->passes.at[act->pass];
        json_open_row(j);
        json_string(j, "end", end_word(end->name));
        json_string(j, "strand", pattern->frame->strands[pass->strand].id);
        json_string(j, "enter", pattern->frame->holes[pass->enter].id);
        json_string(j, "leave", pattern->frame->holes[pass->leave].id);
        json_close(j);
    }
    json_close_rows(j);
}

static void json_knots(struct json *j, const struct pattern *pattern) {
    json_open_rows(j, "knots");
    for (size_t i = 0; i < pattern->acts.count; i++) {
        const struct act *act = &pattern->acts.at[i];
        if (act->kind != ACT_START && act->kind != ACT_TIE) continue;
        const struct end *end = &pattern->ends[act->end];
        const struct knot *knot = act->kind == ACT_START ? &end->start : &end->tie;
        json_open_row(j);
        json_string(j, "end", end_word(end->name));
        json_string(j, "kind", act->kind == ACT_START ? "start" : "tie");
        json_string(j, "hole", pattern->frame->holes[knot->hole].id);
        json_close(j);
    }
    json_close_rows(j);
}

static void json_figures(struct json *j, const struct comparison *comparison, int column) {
    json_open(j, "figures");
    for (size_t r = 0; r < comparison->rows.count; r++) {
        const struct compared_row *row = &comparison->rows.at[r];
        if (worth_a_row(row) && row->values[column].known)
            json_real(j, row->key, row->values[column].number);
    }
    json_close(j);
}

static void json_way(struct json *j, const struct listed_way *way, struct arena *arena) {
    json_aims(j, way->cost);
    if (way->mains_from != PLACE_UNSAID) json_string(j, "mains_from", place_word(way->mains_from));
    if (way->crosses_from != PLACE_UNSAID)
        json_string(j, "crosses_from", place_word(way->crosses_from));
    if (way->pattern->intents.pieces == 1)
        json_string(j, "long_side", side_word(way->pattern->intents.long_side.side));
    json_open_list(j, "legs");
    const char *legs = legs_text(way->pattern, arena);
    for (const char *line; (line = next_line(arena, &legs)) != NULL;)
        json_text(j, line);
    json_close_list(j);
    json_pulls(j, way->pattern);
    json_knots(j, way->pattern);
}

static void emit_json(const struct listed_ways *ways, struct output *out) {
    struct json json, *j = &json;
    struct comparison comparison = compare_all(ways, out->arena);
    int written = ways->written != NULL;
    json_begin_text(j, out, "selvage-search/1");
    json_line(j);
    json_string(j, "pattern", ways->asked->name);
    if (ways->asked->mirrored) json_bool(j, "mirrored", true);
    json_line(j);
    json_bool(j, "proved", ways->proved);
    json_line(j);
    json_bool(j, "complete", ways->complete);
    json_line(j);
    json_int(j, "nodes", ways->nodes);
    if (written) {
        json_line(j);
        json_open(j, "written");
        json_figures(j, &comparison, 0);
        json_close(j);
    }
    json_open_rows(j, "found");
    for (int i = 0; i < ways->count; i++) {
        json_open_row(j);
        json_way(j, &ways->at[i], out->arena);
        json_figures(j, &comparison, written + i);
        json_close(j);
    }
    json_close_rows(j);
    json_end_text(j);
}

void emit_ways(const struct listed_ways *ways, enum selvage_comparison form, struct output *out) {
    switch (form) {
    case SELVAGE_COMPARE_MARKDOWN: emit_markdown(ways, out); break;
    case SELVAGE_COMPARE_JSON: emit_json(ways, out); break;
    default: emit_text(ways, out);
    }
}
