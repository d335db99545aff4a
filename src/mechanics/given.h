/* The values a bed is worked out with: as its pattern's frame, strings and bench give them, or as
 * assumed, each noted in words. Private to mechanics/. */
#ifndef SELVAGE_MECHANICS_GIVEN_H
#define SELVAGE_MECHANICS_GIVEN_H

#include "mechanics/bed.h"

enum bed_fault take_own_hoop(struct bed *bed, struct arena *arena);
void take_strings(struct bed *bed, struct arena *arena);
void take_mount(struct bed *bed, struct arena *arena);

/* The hoops of the bed's grid. What was measured is varied a little, and what follows from it; what
 * was not, much. False where one of them cannot be worked out. */
bool vary_own_hoop(struct bed *bed, struct arena *arena);

#endif
