/* The rows of a comparison, from the figures of both patterns. */
#include "emit/compare.h"

#include "ground/units.h"

#include <string.h>

/* ---- values as they are shown ---- */

/* A number as a row shows it: the whole part of the verdict, for what reads the same is the same.
 */
static const char *shown_as(struct arena *arena, enum compared_as as, double number,
                            enum unit unit) {
    struct output out = output_to(arena);
    switch (as) {
    case AS_COUNT: put_fixed(&out, number, 0); break;
    case AS_LENGTH:
        put_fixed(&out, number, 0);
        put(&out, " mm");
        break;
    case AS_METRES:
        put_fixed(&out, number / 1000, 2);
        put(&out, " m");
        break;
    case AS_DRAWN:
        put_fixed(&out, number / 1000, 0);
        put(&out, " m");
        break;
    case AS_MINUTES:
        put_fixed(&out, number / 60, 0);
        put(&out, " min");
        break;
    default: return force_words(arena, number, unit, 2);
    }
    return output_text(&out);
}

static enum compared_less judge(const struct compared_row *row) {
    const struct compared_value *a = &row->values[0], *b = &row->values[1];
    if (strcmp(a->shown, b->shown) == 0) return LESS_NEITHER;
    return a->number < b->number ? LESS_A : LESS_B;
}

/* ---- rows ---- */

struct table {
    struct arena *arena;
    struct comparison *comparison;
    struct figures figures[MOST_COMPARED];
};

static struct compared_row *add_row(struct table *t, const char *key, const char *name,
                                    enum compared_as as) {
    struct compared_row *row = array_add(t->arena, &t->comparison->rows);
    *row = (struct compared_row){.key = key, .name = name, .as = as};
    return row;
}

static void set_number(struct table *t, struct compared_row *row, int which, double number) {
    enum unit unit = pull_unit(t->comparison->patterns[0], 0); /* one for both */
    row->values[which] = (struct compared_value){
        .known = true, .number = number, .shown = shown_as(t->arena, row->as, number, unit)};
}

/* Rows in which less is better: of two it is said which has less. */
static void judge_row(const struct table *t, struct compared_row *row) {
    if (t->comparison->count == COMPARED) row->less = judge(row);
}

#define JUDGED(t, key, name, as, value)                                                            \
    do {                                                                                           \
        struct compared_row *judged = add_row(t, key, name, as);                                   \
        for (int i = 0; i < (t)->comparison->count; i++)                                           \
            set_number(t, judged, i, value);                                                       \
        judge_row(t, judged);                                                                      \
    } while (0)
#define FIGURE(t, key, name, as, member) JUDGED(t, key, name, as, (t)->figures[i].member)

static void add_loops(struct table *t) {
    FIGURE(t, "loops", "loops", AS_COUNT, loops);
    FIGURE(t, "loops_length", "  together", AS_LENGTH, loops_length);
    FIGURE(t, "loop_longest", "  the longest", AS_LENGTH, loop_longest);
    FIGURE(t, "loops_pass", "  holes passed in all", AS_COUNT, loops_pass);
    FIGURE(t, "loops_over", "  loops over other loops", AS_COUNT, loops_over);
    FIGURE(t, "lane_changes", "  lane changes along an end", AS_COUNT, lane_changes);
}

/* A piece is judged where both patterns have as many. */
static void add_piece(struct table *t, int piece, const char *key, const char *name) {
    struct compared_row *row = add_row(t, key, name, AS_METRES);
    for (int i = 0; i < t->comparison->count; i++) {
        if (piece < t->comparison->patterns[i]->string_count)
            set_number(t, row, i, t->figures[i].cut[piece]);
    }
    const struct pattern *const *patterns = t->comparison->patterns;
    bool alike =
        t->comparison->count == COMPARED && patterns[0]->string_count == patterns[1]->string_count;
    if (alike && row->values[0].known) judge_row(t, row);
}

static void add_string(struct table *t) {
    FIGURE(t, "cut", "string to cut", AS_METRES, cut_all);
    add_piece(t, 0, "cut_first", "  first piece");
    add_piece(t, 1, "cut_second", "  second piece");
}

/* "long: right 6H", "start: left 5H" */
static const char *const *knot_words(const struct pattern *pattern, struct arena *arena) {
    const char **list = arena_many(arena, const char *, 2 * pattern->end_count + 1);
    int count = 0;
    for (int e = 0; e < pattern->end_count; e++) {
        const struct end *end = &pattern->ends[e];
        if (end->start.hole != NO_HOLE)
            list[count++] = format(arena, "start: %s", pattern->frame->holes[end->start.hole].name);
        list[count++] =
            format(arena, "%s: %s", end_word(end->name), pattern->frame->holes[end->tie.hole].name);
    }
    return list;
}

static void add_knots(struct table *t) {
    FIGURE(t, "knots", "knots", AS_COUNT, knots);
    struct compared_row *row = add_row(t, "knot_holes", "  at", AS_LIST);
    for (int i = 0; i < t->comparison->count; i++)
        row->values[i] = (struct compared_value){
            .known = true, .list = knot_words(t->comparison->patterns[i], t->arena)};
    FIGURE(t, "knots_way", "  from the last holes to them", AS_LENGTH, knots_way);
}

static void add_work(struct table *t) {
    const struct pattern *const *patterns = t->comparison->patterns;
    JUDGED(t, "clamps_fixed", "fixed clamps", AS_COUNT, patterns[i]->clamps[CLAMP_FIXED].used);
    JUDGED(t, "clamps_starting", "starting clamps", AS_COUNT,
           patterns[i]->clamps[CLAMP_STARTING].used);
    FIGURE(t, "end_changes", "changes of end", AS_COUNT, end_changes);
    FIGURE(t, "mains_woven", "mains woven", AS_COUNT, mains_woven);
    FIGURE(t, "crosses_woven", "crosses woven", AS_COUNT, crosses_woven);
    FIGURE(t, "weave_most", "strands crossed in one weave", AS_COUNT, weave_most);
    FIGURE(t, "drawn", "string drawn through the weave", AS_DRAWN, drawn);
    FIGURE(t, "time", "time", AS_MINUTES, time);
}

/* "from head but C1" */
static const char *order_words(const struct table *t, int which) {
    static const char *const words[] = {"mixed", "from head", "from throat"};
    const struct figures *figures = &t->figures[which];
    const struct pattern *pattern = t->comparison->patterns[which];
    struct output out = output_to(t->arena);
    put(&out, words[figures->order]);
    if (figures->but_skipped)
        put_format(&out, " but %s",
                   strand_words(pattern->frame, t->arena, pattern->intents.skip.has));
    return output_text(&out);
}

static void add_order(struct table *t) {
    struct compared_row *row = add_row(t, "crosses", "crosses", AS_WORDS);
    for (int i = 0; i < t->comparison->count; i++)
        row->values[i] = (struct compared_value){.known = true, .shown = order_words(t, i)};
}

static void add_tension(struct table *t) {
    static const struct {
        const char *key, *name;
    } rows[] = {{"pull_least", "least tension"},
                {"pull_most", "most tension"},
                {"pull_spread", "  between them"}};
    for (int r = 0; r < 3; r++) {
        struct compared_row *row = add_row(t, rows[r].key, rows[r].name, AS_FORCE);
        for (int i = 0; i < t->comparison->count; i++) {
            double least = t->figures[i].least_pull, most = t->figures[i].most_pull;
            if (most > 0) set_number(t, row, i, r == 0 ? least : r == 1 ? most : most - least);
        }
    }
}

void compare_rows(struct comparison *comparison, struct arena *arena) {
    struct table t = {.arena = arena, .comparison = comparison};
    for (int i = 0; i < comparison->count; i++)
        t.figures[i] = figures_of(comparison->patterns[i], arena);
    array_reserve(arena, &comparison->rows, 32);
    add_loops(&t);
    add_string(&t);
    add_knots(&t);
    add_work(&t);
    add_order(&t);
    add_tension(&t);
}
