/* What the frame feels, in its forms: text (80 columns), Markdown, JSON (docs/bed.schema.json), CSV
 * with a row for each pull, the picture. */
#ifndef SELVAGE_EMIT_BED_H
#define SELVAGE_EMIT_BED_H

#include "emit/emit.h"

struct bed; /* mechanics/bed.h */

void emit_bed(const struct bed *bed, enum selvage_bed_form form, struct output *out);

/* beddata.c: all of it for other programs; a row for each pull. */
void emit_bed_json(const struct bed *bed, struct output *out);
void emit_bed_csv(const struct bed *bed, struct output *out);

/* bedpicture.c: the strands by their tension, the shape of the hoop, width, length and bending pull
 * by pull. A document of its own. */
void emit_bed_picture(const struct bed *bed, struct output *out);

/* The same on paper of so many mm, as large as it goes. */
void emit_bed_page(const struct bed *bed, double width, double height, struct output *out);

/* The same as a part of a page of HTML, as wide as what it stands in. Ids begin with `prefix`. */
void put_bed_picture(const struct bed *bed, const char *prefix, struct output *out);

#endif
