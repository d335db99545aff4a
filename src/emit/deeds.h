/* What a line of the step list does besides threading, deed by deed in full words, and where the
 * clamps are after it: for a page, where there is room to say which clamp goes from where to where.
 */
#ifndef SELVAGE_EMIT_DEEDS_H
#define SELVAGE_EMIT_DEEDS_H

#include "emit/sheet.h"

#include "ground/limits.h"

enum deed_kind { DEED_PULL, DEED_CLAMP, DEED_KNOT };

struct deed {
    enum deed_kind kind;
    const char *words;
};

/* A clamp where it is: on a strand, by the hole its end leaves it through; a starting clamp outside
 * that hole. */
struct clamp_place {
    bool on;
    int end, strand, hole;
};

struct deeds {
    array_of(struct deed) list;
    struct clamp_place clamps[CLAMP_KINDS][LIMIT_CLAMPS]; /* after the line */
};

/* `deeds` holds those of the line before, or is all zero before the first. */
void deeds_of_row(struct deeds *deeds, const struct pattern *pattern, struct arena *arena,
                  const struct sheet_row *row);

/* "fixed clamp on right M6 by 6T", "starting clamp outside right 6H, on right M6". */
const char *clamp_words(const struct pattern *pattern, struct arena *arena, enum clamp_kind kind,
                        const struct clamp_place *place);

#endif
