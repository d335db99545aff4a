/* What the facts and tables of a bed are made with. Private to felt*.c. */
#ifndef SELVAGE_EMIT_FELTMAKER_H
#define SELVAGE_EMIT_FELTMAKER_H

#include "emit/felt.h"

struct felt_maker {
    const struct bed *bed;
    struct arena *arena;
    const struct sheet *sheet;
    struct felt *felt;
};

extern const enum kind felt_kinds[2]; /* mains, crosses */

void add_felt_fact(struct felt_maker *m, const char *name, const char *text);
struct felt_table *add_felt_table(struct felt_maker *m, const char *title);
void add_felt_column(struct felt_table *table, int width, const char *head);
struct felt_row *add_felt_row(struct felt_maker *m, struct felt_table *table, const char *name);

/* The unit of the pulls, and a tension in it: "24.6 lb". */
enum unit felt_unit(const struct bed *bed);
const char *felt_tension(const struct bed *bed, double newton, struct arena *arena);

/* "24.6 (24.2 to 25)": where the unit stands elsewhere. */
const char *bare_range(const struct bed *bed, struct range range, struct arena *arena);

/* felteven.c */
void add_even_pulls(struct felt_maker *m);

#endif
