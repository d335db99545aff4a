/* What the frame feels as data: what a stringer reads, before it has a form. Text and Markdown are
 * two ways to print it. No figure stands without how far it may be off, but for those of which it
 * is said. */
#ifndef SELVAGE_EMIT_FELT_H
#define SELVAGE_EMIT_FELT_H

#include "emit/sheet.h"
#include "ground/json.h"
#include "mechanics/bed.h"

enum { FELT_COLUMNS = 5 };

struct felt_row {
    const char *cells[FELT_COLUMNS]; /* "" where there is nothing to say */
};

struct felt_table {
    const char *title;
    int columns;
    int widths[FELT_COLUMNS]; /* in print */
    const char *heads[FELT_COLUMNS];
    array_of(struct felt_row) rows;
};

struct felt_fact {
    const char *name, *text;
};

struct felt {
    const char *racket, *pattern;
    array_of(struct felt_fact) facts; /* what it is reckoned with, what is left out */
    array_of(struct felt_table) tables;
    const char *line; /* of even pulls, in the place of the pattern's own tension; NULL: none */
};

const struct felt *felt_of(const struct bed *bed, struct arena *arena);

#define N_MM_PER_N_M 1000.0

/* {"value": ..., "least": ..., "most": ...}, each divided by `unit`. */
void json_range(struct json *j, const char *key, struct range range, double unit);

/* "24.6 lb (24.2 to 25)": a tension in the unit of the pulls, and how far it may be off. */
const char *tension_range(const struct bed *bed, struct range range, struct arena *arena);

/* "+1.23 mm (+0.8 to +1.9)", "9.1 N m (7.1 to 12)"; of N mm. */
const char *change_range(struct range range, struct arena *arena);
const char *moment_range(struct range range, struct arena *arena);
const char *moment_words(double moment, struct arena *arena);

/* "1.2 N m less (0.3 to 2)", "no clear difference (-0.3 to +2 N m)": of the most the hoop is bent
 * by, second job beside first. */
const char *moment_change(const struct sweep *sweep, struct arena *arena);

/* What a pull that is far ahead costs by then. */
const char *lead_words(const struct far_ahead *far, struct arena *arena);

/* loads.c: marks the pulls of a step list that bend the hoop more than any before, or lie far
 * ahead, and adds what that means to its facts. */
void mark_loads(struct sheet *sheet, const struct bed *bed, struct arena *arena);

/* "right 3H", "the middle of the throat"; "R3H", "0T": where a node is. */
const char *node_words(const struct bed *bed, int node, struct arena *arena);
const char *node_id(const struct bed *bed, int node);

/* The step of an event; 0 for none. */
int step_of_event(const struct bed *bed, const struct sheet *sheet, int event);

/* "inside 12" */
const char *support_words(const struct support *support, struct arena *arena);

/* "+1.2", "-0.3", "0". */
const char *signed_words(double value, int decimals, struct arena *arena);

/* What is given, or what is assumed, one after another; "" for nothing. */
const char *facts_words(const struct bed *bed, bool assumed, struct arena *arena);

/* What was varied, being not known, and in how many sets. */
const char *varied_words(struct known_values known, int sets, struct arena *arena);

/* What the model leaves out. */
extern const char felt_left_out[];

#endif
