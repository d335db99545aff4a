/* What the frame feels, drawn. */
#include "emit/bed.h"

void put_bed_picture(const struct bed *bed, const char *prefix, struct output *out) {
    put_format(out, "<svg id=\"%s%s\"></svg>\n", prefix, bed->pattern->name);
}

void emit_bed_picture(const struct bed *bed, struct output *out) { put_bed_picture(bed, "", out); }
