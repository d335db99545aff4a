/* One side of the mains far ahead of the other. Private to mechanics/. */
#ifndef SELVAGE_MECHANICS_LEADS_H
#define SELVAGE_MECHANICS_LEADS_H

#include "mechanics/bed.h"

/* Notes the pulls of the bed's job that are farthest ahead, one for each run of them, and makes the
 * same job in turn: the mains of a side in the same order, neither side ahead by more than is worth
 * telling as long as the other has any. False where none is far ahead. */
bool look_for_leads(struct bed *bed, struct job *in_turn, struct arena *arena);

#endif
