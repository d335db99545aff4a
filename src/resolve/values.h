/* Numbers of the tree as values: unit of the right kind, within reason, in mm and N. */
#ifndef SELVAGE_RESOLVE_VALUES_H
#define SELVAGE_RESOLVE_VALUES_H

#include "ground/units.h"
#include "report/report.h"
#include "syntax/tree.h"

/* The value in mm, N, N/mm, per cent or g/cm3; false and a finding where the unit is missing or of
 * another kind, or where the value lies outside what any racket can have (`least` to `most`, in the
 * same units; `what` names the quantity: "the inside width"). */
bool take_value(struct report *report, struct tree_number number, enum dimension dimension,
                const char *what, double least, double most, double *value);

/* A whole number without a unit. */
bool take_count(struct report *report, struct tree_number number, const char *what, int least,
                int most, int *value);

/* Lines that may not stand in a block, or stand twice where they may stand once. */
void judge_lines(struct report *report, const struct tree_definition *definition,
                 enum block_mask block);

#endif
