/* The holes of head and throat in runs, string to cut per end, knots; the rest as the step list has
 * it. */
#include "emit/brief.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

struct brief_maker {
    const struct pattern *pattern;
    const struct frame *frame;
    struct arena *arena;
    struct brief *brief;
};

static struct brief_block *add_block(struct brief_maker *m, const char *heading,
                                     enum brief_depth from) {
    struct brief_block *block = array_add(m->arena, &m->brief->blocks);
    *block = (struct brief_block){.heading = heading, .from = from};
    return block;
}

static void add_line(struct brief_maker *m, struct brief_block *block, const char *label,
                     const char *text) {
    *array_add(m->arena, &block->lines) = (struct brief_line){label, text};
}

/* ---- the hole map ---- */

/* What is said of one hole: its number, and what passes it. */
struct mapped {
    int number;
    const char *strands;
    const struct strand *only; /* where it is a single one */
};

struct hole_list {
    array_of(struct mapped) holes;
};

static const char *label_of(const struct strand *strand) {
    return strand->id + (strand->side != SIDE_CENTRE);
}

static int by_number(const void *left, const void *right) {
    const struct mapped *a = left, *b = right;
    return (a->number > b->number) - (a->number < b->number);
}

/* The holes of a side at a place, from the middle outwards. */
static struct hole_list holes_at(struct brief_maker *m, enum place place, enum side side) {
    struct hole_list list = {{0}};
    for (int i = 0; i < m->frame->hole_count; i++) {
        const struct hole *hole = &m->frame->holes[i];
        if (hole->place != place || hole->side != side) continue;
        struct mapped *at = array_add(m->arena, &list.holes);
        *at = (struct mapped){hole->number, "unused", NULL};
        if (hole->strand_count == 1) {
            at->only = &m->frame->strands[hole->strands[0]];
            at->strands = label_of(at->only);
        } else if (hole->strand_count == 2) {
            at->strands = format(m->arena, "%s+%s", label_of(&m->frame->strands[hole->strands[0]]),
                                 label_of(&m->frame->strands[hole->strands[1]]));
        }
    }
    if (list.holes.count > 1)
        qsort(list.holes.at, list.holes.count, sizeof *list.holes.at, by_number);
    return list;
}

static bool same_lists(const struct hole_list *a, const struct hole_list *b) {
    if (a->holes.count != b->holes.count) return false;
    for (size_t i = 0; i < a->holes.count; i++)
        if (a->holes.at[i].number != b->holes.at[i].number ||
            strcmp(a->holes.at[i].strands, b->holes.at[i].strands) != 0)
            return false;
    return true;
}

/* Whether a hole goes on with the run that another ends: the next hole, the next strand. */
static bool goes_on(const struct mapped *before, const struct mapped *next, int step) {
    return before->only != NULL && next->only != NULL && next->number == before->number + 1 &&
           next->only->kind == before->only->kind &&
           next->only->number == before->only->number + step;
}

static size_t run_from(const struct hole_list *list, size_t first, int step) {
    size_t last = first;
    while (last + 1 < list->holes.count &&
           goes_on(&list->holes.at[last], &list->holes.at[last + 1], step))
        last++;
    return last;
}

/* "1H..6H" and "M1..M6", "7H" and "C1". */
static void add_runs(struct brief_maker *m, struct brief_block *block, char letter,
                     const struct hole_list *list) {
    for (size_t i = 0; i < list->holes.count; i++) {
        size_t up = run_from(list, i, 1), down = run_from(list, i, -1),
               last = up > down ? up : down;
        const struct mapped *from = &list->holes.at[i], *to = &list->holes.at[last];
        if (last == i)
            add_line(m, block, format(m->arena, "%d%c", from->number, letter), from->strands);
        else
            add_line(m, block,
                     format(m->arena, "%d%c..%d%c", from->number, letter, to->number, letter),
                     format(m->arena, "%s..%s", from->strands, to->strands));
        i = last;
    }
}

static void add_holes(struct brief_maker *m, enum place place, char letter, const char *word) {
    struct hole_list centre = holes_at(m, place, SIDE_CENTRE), left = holes_at(m, place, SIDE_LEFT),
                     right = holes_at(m, place, SIDE_RIGHT);
    if (same_lists(&left, &right)) {
        struct brief_block *block = add_block(m, format(m->arena, "Holes, %s", word), BRIEF_LEAST);
        block->in_pairs = true;
        add_runs(m, block, letter, &centre);
        add_runs(m, block, letter, &right);
        return;
    }
    for (int side = 0; side < 2; side++) {
        struct brief_block *block = add_block(
            m, format(m->arena, "Holes, %s %s", word, side == 0 ? "left" : "right"), BRIEF_LEAST);
        block->in_pairs = true;
        add_runs(m, block, letter, &centre);
        add_runs(m, block, letter, side == 0 ? &left : &right);
    }
}

/* ---- string and knots ---- */

static const char *metres(struct arena *arena, double mm) {
    struct output out = output_to(arena);
    put_fixed(&out, mm / 1000, 2);
    return format(arena, "%s m", output_text(&out));
}

/* As the step list has it: ends in mm come to what is cut of them, which in cm they need not. */
static const char *whole_mm(struct arena *arena, double mm) {
    return format(arena, "%d mm", (int)llround(mm));
}

static const char *string_title(const struct string *string) {
    return string->title != NULL ? string->title : string->name;
}

static const char *piece_text(struct brief_maker *m, const struct string_piece *piece) {
    struct output out = output_to(m->arena);
    put(&out, metres(m->arena, piece->cut));
    if (piece->string != NULL) put_format(&out, " of %s", string_title(piece->string));
    if (piece->fold > 0)
        put_format(&out, "; fold mark %s from the tip of the %s end", metres(m->arena, piece->fold),
                   m->pattern->intents.pieces == 1 ? "short" : "left");
    return output_text(&out);
}

static void add_string(struct brief_maker *m) {
    const struct pattern *pattern = m->pattern;
    struct brief_block *block = add_block(m, "String to cut, estimated", BRIEF_LEAST);
    for (int i = 0; i < pattern->string_count; i++) {
        add_line(m, block,
                 pattern->string_count == 1 ? "whole"
                 : i == 0                   ? "mains"
                                            : "crosses",
                 piece_text(m, &pattern->pieces[i]));
        if (pattern->pieces[i].fold <= 0) continue;
        for (int e = 0; e < pattern->end_count; e++)
            if (pattern->ends[e].string == i)
                add_line(m, block, end_word(pattern->ends[e].name),
                         whole_mm(m->arena, pattern->cuts[e].cut));
    }
}

static const char *knot_text(struct brief_maker *m, const struct knot *knot) {
    const struct strand *main = &m->frame->strands[knot->around];
    return format(m->arena, "%s round %s", m->frame->holes[knot->hole].name, label_of(main));
}

static void add_knots(struct brief_maker *m) {
    struct brief_block *block = add_block(m, "Knots", BRIEF_LEAST);
    for (int e = 0; e < m->pattern->end_count; e++) {
        const struct end *end = &m->pattern->ends[e];
        const char *tie = knot_text(m, &end->tie);
        if (end->start.hole != NO_HOLE)
            tie =
                format(m->arena, "start%s %s, tie %s", end->start_clamped ? " by clamp, then" : "",
                       knot_text(m, &end->start), tie);
        add_line(m, block, end_word(end->name), tie);
    }
}

/* ---- what the step list has ---- */

/* Where there are several, a mark says where each begins: they are broken where they are long. */
static void mark_lines(struct brief_block *block) {
    for (size_t i = 0; block->lines.count > 1 && i < block->lines.count; i++)
        block->lines.at[i].label = "\xE2\x80\xA2";
}

/* The facts about a matter, under a heading. */
static void add_facts(struct brief_maker *m, const char *heading, enum sheet_matter about,
                      enum brief_depth from) {
    struct brief_block *block = NULL;
    const struct sheet *sheet = m->brief->sheet;
    for (size_t i = 0; i < sheet->facts.count; i++) {
        if (sheet->facts.at[i].about != about || sheet->facts.at[i].text[0] == '\0') continue;
        if (block == NULL) block = add_block(m, heading, from);
        add_line(m, block, NULL, sheet->facts.at[i].text);
    }
    if (block != NULL) mark_lines(block);
}

static void add_notes(struct brief_maker *m) {
    const struct sheet *sheet = m->brief->sheet;
    if (sheet->notes.count == 0) return;
    struct brief_block *block = add_block(m, "Notes", BRIEF_NOTES);
    for (size_t i = 0; i < sheet->notes.count; i++)
        add_line(m, block, NULL, sheet->notes.at[i]);
    mark_lines(block);
}

static const char *all_cautions(struct arena *arena) {
    struct output out = output_to(arena);
    for (size_t i = 0; sheet_cautions[i] != NULL; i++)
        put_format(&out, "%s%s", i > 0 ? " " : "", sheet_cautions[i]);
    return output_text(&out);
}

static const char *elsewhere_words(const struct sheet *sheet) {
    for (size_t i = 0; i < sheet->rows.count; i++)
        if (sheet->rows.at[i].notes[0] != '\0')
            return "Lanes and room for loops: see the step list.";
    return "";
}

static const char *kind_words(const struct frame *frame, struct arena *arena) {
    const char *size = pattern_size(frame, arena);
    return frame->sport != NULL ? format(arena, "%s, %s", frame->sport, size) : size;
}

struct brief *brief_of(const struct pattern *pattern, struct arena *arena) {
    struct brief *brief = arena_one(arena, struct brief);
    struct brief_maker maker = {pattern, pattern->frame, arena, brief}, *m = &maker;
    brief->pattern = pattern;
    brief->sheet = sheet_of(pattern, arena);
    brief->title = brief->sheet->racket;
    brief->subtitle = pattern->mirrored
                          ? format(arena, "%s; sides exchanged", brief->sheet->pattern)
                          : brief->sheet->pattern;
    brief->kind = kind_words(pattern->frame, arena);
    brief->shorthand = sheet_shorthand(pattern, arena);
    brief->elsewhere = elsewhere_words(brief->sheet);
    brief->cautions = all_cautions(arena);
    add_holes(m, PLACE_HEAD, 'H', "head");
    add_holes(m, PLACE_THROAT, 'T', "throat");
    add_string(m);
    add_facts(m, "Tension", ABOUT_TENSION, BRIEF_LEAST);
    add_facts(m, "Range printed on the frame", ABOUT_RANGE, BRIEF_LEAST);
    add_facts(m, "Pre-stretch", ABOUT_PRESTRETCH, BRIEF_LEAST);
    add_knots(m);
    add_facts(m, "Clamps", ABOUT_CLAMPS, BRIEF_LEAST);
    add_notes(m);
    add_facts(m, "Time", ABOUT_TIME, BRIEF_WHOLE);
    add_facts(m, "Assumed", ABOUT_ASSUMED, BRIEF_WHOLE);
    return brief;
}
