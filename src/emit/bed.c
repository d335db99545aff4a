/* What the frame feels: text (80 columns), Markdown, JSON, CSV. */
#include "emit/bed.h"

void emit_bed(const struct bed *bed, enum selvage_bed_form form, struct output *out) {
    if (form == SELVAGE_BED_PICTURE) emit_bed_picture(bed, out);
}
