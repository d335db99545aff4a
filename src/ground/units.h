/* Conversion of units. Lengths are kept in mm, forces in N,
 * times in s.
 * Factors: NIST Special Publication 811, appendix B (all exact). */
#ifndef SELVAGE_GROUND_UNITS_H
#define SELVAGE_GROUND_UNITS_H

#include "ground/arena.h"
#include "ground/terms.h"

#define MM_PER_INCH 25.4
#define NEWTON_PER_KG 9.80665
#define NEWTON_PER_LB 4.4482216152605 /* 0.45359237 kg x 9.80665 m/s2 */

enum dimension {
    DIMENSION_NUMBER,
    DIMENSION_LENGTH,
    DIMENSION_FORCE,
    DIMENSION_PERCENT,
    DIMENSION_DENSITY,
    DIMENSION_TIME,
    DIMENSION_STIFFNESS
};

enum dimension unit_dimension(enum unit unit);

/* What one of the unit is in mm, N, s, N/mm, or itself. */
double unit_factor(enum unit unit);

/* "mm, cm, m or in", for messages. */
const char *dimension_units(enum dimension dimension);

/* "26.5 lb": a force in a unit of force, with as many decimals as it has, `decimals` at the most.
 */
const char *force_words(struct arena *arena, double newton, enum unit unit, int decimals);

#endif
