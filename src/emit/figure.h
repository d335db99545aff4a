/* The frame diagram as a part of a document: of its own file, of a page, of a sheet with others.
 * All outputs draw with it. */
#ifndef SELVAGE_EMIT_FIGURE_H
#define SELVAGE_EMIT_FIGURE_H

#include "emit/layout.h"
#include "emit/svg.h"

struct figure {
    const struct layout *layout;
    const char *prefix;   /* of its ids: "" where it is alone in its document */
    bool heading, legend; /* with its title; with what ends, signs and scale are */
    bool both_faces;      /* strands as seen from the front and from the back: of classes front-face
                             and back-face, of which the document shows one; needs lay_out_back */
    bool bare;            /* without measures: of a layout without a page */
};

/* What it takes, in mm of the racket: the whole of its page, or no more than the frame with its
 * loops and numbers. */
struct area figure_area(const struct figure *figure);

/* `viewBox="..."`, with a blank before it. */
void put_view_box(struct output *out, struct area area);

/* What it looks like: rules for all figures of a document, and sizes of type, which differ from one
 * to the next; `scope` is what comes before their selectors, such as "#one ". */
void put_figure_style(struct output *out);
void put_figure_sizes(const struct figure *figure, const char *scope, struct output *out);

/* In words, for those who do not see it. */
const char *figure_description(const struct pattern *pattern, struct arena *arena);

void put_figure(const struct figure *figure, struct output *out);

/* For a legend that another document sets in its own way. */
enum figure_sign {
    SIGN_FRONT,
    SIGN_BACK,
    SIGN_TIE_OFF,
    SIGN_SHARED,
    SIGN_UNUSED,
    SIGN_FIRST,
    SIGN_KNOT,
    SIGN_COUNT,
    FIGURE_SIGNS
};

/* What a sign means; NULL where the figure does not have it. */
const char *figure_sign_words(const struct figure *figure, enum figure_sign sign);

/* A sign from `at` to the right, its middle at that height: as wide as SIGN_WIDTH mm on paper. */
#define SIGN_WIDTH 9.0
void put_figure_sign(const struct figure *figure, enum figure_sign sign, struct point at,
                     struct output *out);

/* A strand of an end as it is drawn, from `at` to the right. */
void put_end_sample(const struct figure *figure, int end, struct point at, double length,
                    struct output *out);

/* "long end: 22 strands, right 1H to left 6H" */
const char *end_summary(const struct pattern *pattern, int end, struct arena *arena);

#endif
