/* What is known of names and paths, found fast. */
#ifndef SELVAGE_CLI_TABLE_H
#define SELVAGE_CLI_TABLE_H

#include "cli/digest.h"

enum { TABLE_BUCKETS = 4096 };

struct row {
    char *key;
    const char *owner; /* of a name: the file that has it */
    struct digest digest;
    bool there; /* of a path: it could be read */
    struct row *next;
};

struct table {
    struct row *rows[TABLE_BUCKETS];
};

struct row *table_find(const struct table *table, const char *key);

/* A new row; NULL where there is no memory. */
struct row *table_add(struct table *table, const char *key);
void table_free(struct table *table);

#endif
