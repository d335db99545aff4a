/* What is assumed, where it depends on something. */
#include "mechanics/values.h"

#include <string.h>

double assumed_bending(const char *sport) {
    bool tennis = sport != NULL && strcmp(sport, "tennis") == 0;
    return tennis ? ASSUMED_BENDING_TENNIS : ASSUMED_BENDING_SQUASH;
}
