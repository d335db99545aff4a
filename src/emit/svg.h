/* Small pieces of SVG: escaped text, numbers, paths. Knows no racket. */
#ifndef SELVAGE_EMIT_SVG_H
#define SELVAGE_EMIT_SVG_H

#include "frame/outline.h"
#include "ground/output.h"

struct area {
    double left, top, width, height;
};

/* Text with the five characters of XML escaped, and what XML cannot hold left out. */
void svg_text(struct output *out, const char *text);

/* `x="1.5"`, with a blank before it; two decimals at the most. */
void svg_number(struct output *out, const char *name, double value);

/* "M1.5 2" and "L1.5 2" of a path. */
void svg_move(struct output *out, struct point at);
void svg_line(struct output *out, struct point at);

/* A cubic to the last of three points, the first two being its handles. */
void svg_cubic(struct output *out, const struct point at[3]);

/* <title>...</title> */
void svg_title(struct output *out, const char *text);

/* Elements of a class; NULL where the group they stand in has it. A text begins at its point unless
 * its class says otherwise. */
void svg_label(struct output *out, const char *class_name, struct point at, const char *text);
void svg_segment(struct output *out, const char *class_name, struct point from, struct point to);
void svg_circle(struct output *out, const char *class_name, struct point at, double radius);
void svg_box(struct output *out, const char *class_name, struct point centre, double width,
             double height, double corner);

#endif
