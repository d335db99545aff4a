/* A card: one pattern on a rectangle of paper, with its drawing, holes, string, knots and steps.
 * It is laid out in units of type, whose sizes are fixed; `scale` mm of paper make one unit, so
 * that a card has more room the smaller its type. */
#ifndef SELVAGE_EMIT_CARD_H
#define SELVAGE_EMIT_CARD_H

#include "emit/brief.h"
#include "emit/figure.h"

/* The least type of a card, in units: names of strands in the drawing, and the steps. */
#define CARD_TYPE 2.3

enum card_mark_kind { MARK_TEXT, MARK_RULE, MARK_SAMPLE, MARK_SIGN };

/* One thing to be printed, in units from the card's corner. A text stands on `at`; a rule goes from
 * there to `to`; a sample of an end and a sign of the drawing begin there. */
struct card_mark {
    enum card_mark_kind kind;
    const char *class_name, *text;
    struct point at, to;
    double size; /* of a text, where its class has none; 0 */
    bool ends;   /* a text ends at `at` */
    int number;  /* of the end or the sign */
};

/* How much of it a drawing shows, and how near to one another. */
enum card_drawing {
    DRAWN_WHOLE,
    DRAWN_UNCOUNTED, /* without the order of pulls, which the steps tell too */
    DRAWN_DENSE,     /* and with names where strands enter alone, more of them on crossings */
    CARD_DRAWINGS
};

/* How large a drawing gets by the mm of racket that make one unit: from + by * unit. */
struct figure_span {
    double from, by;
};

/* What of a pattern is the same at every scale. */
struct card_subject {
    const struct brief *brief;
    struct figure_shape {
        struct figure_span width, height; /* mm of the racket */
        double most;                      /* the most mm a unit may stand for: beyond it labels
                                             have no good place */
    } shapes[CARD_DRAWINGS];
};

/* What a card is to be, in units. */
struct card_wish {
    double width, height;
    double title; /* the least size of its title; 0: as usual */
    enum brief_depth depth;
    enum card_drawing drawing;
};

struct card {
    const struct card_subject *subject;
    struct card_wish wish;
    struct figure figure;
    struct point figure_at; /* its left upper corner, units */
    array_of(struct card_mark) marks;
};

struct card_subject *card_subject_of(const struct pattern *pattern, struct arena *arena);

/* A card, or NULL where the pattern does not go into it so. `prefix` is that of the drawing's ids.
 */
struct card *lay_out_card(const struct card_subject *subject, struct arena *arena,
                          const struct card_wish *wish, const char *prefix);

/* The same without the drawing itself: whether it goes. Leaves the arena as it was. */
bool card_goes(const struct card_subject *subject, struct arena *arena,
               const struct card_wish *wish);

/* Rules for all cards of a document, and what a card has of its own; `id` is that of its group. */
void put_card_style(struct output *out);
void put_card_sizes(const struct card *card, const char *id, struct output *out);
void put_card(const struct card *card, const char *id, struct point at, double scale,
              struct output *out);

#endif
