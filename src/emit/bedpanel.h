/* The picture of what a frame feels, in its panels, each drawn into its area: what they have in
 * common. In mm on A4 paper. For bedpicture.c and its panels alone. */
#ifndef SELVAGE_EMIT_BEDPANEL_H
#define SELVAGE_EMIT_BEDPANEL_H

#include "emit/felt.h"
#include "emit/layout.h"
#include "emit/svg.h"
#include "ground/units.h"

/* Sizes of type: numbers at strands and axes, words, headings of panels. */
#define BED_NUMBER 2.3
#define BED_WORDS 2.5
#define BED_LINE 3.5
#define BED_HEADING 3.2

struct bed_picture {
    const struct bed *bed;
    const struct sheet *sheet;
    const char *prefix;
    enum unit unit; /* of tensions: that of the pulls */
    struct output *out;
};

/* From mm of the racket to the paper. */
struct view {
    struct point origin;
    double scale;
};

struct point on_paper(struct view view, struct point at);

/* A group with an id and what it shows, and its heading at the area's top; to be closed by
 * close_panel. */
void open_panel(const struct bed_picture *picture, const char *id, struct area area,
                const char *letter, const char *heading);
void close_panel(const struct bed_picture *picture);

/* Lines of BED_WORDS from a point on, none wider than `width`; gives the foot of the last. */
double put_bed_words(const struct bed_picture *picture, const char *class_name, struct point at,
                     double width, const char *text);

/* "20.0": a number with its zeros, for those that stand in rows. */
const char *fixed_words(const struct bed_picture *picture, double value, int decimals);

/* bedmap.c: the strands by the tension they have off the machine, and what the colours mean, in a
 * place of its own; gives the foot of that. And how wide it would be if only its height bound it.
 */
double put_bed_map(const struct bed_picture *picture, struct area area, struct area legend);
double bed_map_width(const struct bed_picture *picture, double height);

/* bedshape.c: the hoop before, when it is bent most, and off the machine. */
void put_bed_shape(const struct bed_picture *picture, struct area area);

/* bedplot.c: width, length and bending moment, step by step. */
void put_bed_plot(const struct bed_picture *picture, struct area area);

#endif
