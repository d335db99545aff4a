/* Setting a card: texts and rules at their places, and columns of facts and steps. The same code
 * measures, dry, and sets in earnest. For the files that lay a card out alone. */
#ifndef SELVAGE_EMIT_CARDSET_H
#define SELVAGE_EMIT_CARDSET_H

#include "emit/card.h"

/* Units of type. */
#define CARD_BOLD 1.22 /* how much wider bold type is, at the most */
#define CARD_FOOT 0.8  /* of a line's size: from its top to where it stands */
#define CARD_GAP 6.0   /* between the parts of a card */

/* Above a block, and from its heading to its first line; less where there is little room. */
struct spacing {
    double block, heading, pitch, turn; /* pitch: from line to line; turn: more where another end
                                           goes on */
};

/* What is set so far. A dry one only measures. */
struct card_setting {
    struct card *card;
    struct arena *arena;
    struct spacing space;
    bool dry;
};

struct card_mark *add_mark(const struct card_setting *s, enum card_mark_kind kind,
                           const char *class_name, struct point at);
void set_text(const struct card_setting *s, const char *class_name, double x, double y, double size,
              const char *text);

/* Ends at `x`. */
void set_ending(const struct card_setting *s, const char *class_name, double x, double y,
                double size, const char *text);
void set_rule(const struct card_setting *s, const char *class_name, double x, double y,
              double width);

/* A paragraph; gives back where the next line goes. */
double set_lines(const struct card_setting *s, const char *class_name, double x, double y,
                 double width, double size, const char *text);

/* Columns side by side, filled one after another. */
struct columns {
    double left, width, gap, top, bottom;
    int count;
};

static inline double column_left(const struct columns *c, int column) {
    return c->left + column * (c->width + c->gap);
}

/* ---- facts ---- */

/* What each fact takes in a column of that width, by the number it begins with; negative where none
 * begins. Worked out once for all columns as wide. */
struct fact_heights {
    double *at;
    size_t count;
};

struct fact_heights measure_facts(const struct card_setting *s, double width);

/* Facts into columns, from a column and a height in it; false where they do not go in. */
bool set_facts(const struct card_setting *s, const struct fact_heights *heights,
               const struct columns *columns, int column, double y);

/* The least height at which the facts go into columns; infinite where they go into none. */
double facts_height(const struct card_setting *s, struct columns columns);

/* ---- steps ---- */

enum step_column {
    STEP_NUMBER,
    STEP_END,
    STEP_STRAND,
    STEP_WAY,
    STEP_FIRST,
    STEP_NTH,
    STEP_PULL,
    STEP_FORCE,
    STEP_HOLD,
    STEP_COLUMNS
};

/* Where each column of a step begins, how wide it is, and all of them. */
struct steps {
    double at[STEP_COLUMNS], widths[STEP_COLUMNS], width;
};

/* The place of the steps' last line, for what follows. */
struct filled {
    int column;
    double y, lowest;
};

struct steps measure_steps(const struct card_setting *s);

/* Steps into columns, each with its head; a hairline where another end goes on. False where they do
 * not go in. */
bool set_steps(const struct card_setting *s, const struct steps *measured,
               const struct columns *columns, struct filled *filled);

/* The least height at which the steps go into columns. */
double steps_height(const struct card_setting *s, const struct steps *steps,
                    struct columns columns);

/* The drawing of a card, at mm of the racket to a unit. */
struct layout *lay_out_drawn(const struct pattern *pattern, struct arena *arena, double unit,
                             enum card_drawing drawing);

#endif
