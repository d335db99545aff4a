/* Rows in buckets. */
#include "cli/table.h"

#include <stdlib.h>
#include <string.h>

static size_t bucket_of(const char *key) {
    return (size_t)(digest_more(digest_begin(), key, strlen(key)).sum % TABLE_BUCKETS);
}

struct row *table_find(const struct table *table, const char *key) {
    for (struct row *row = table->rows[bucket_of(key)]; row != NULL; row = row->next)
        if (strcmp(row->key, key) == 0) return row;
    return NULL;
}

struct row *table_add(struct table *table, const char *key) {
    struct row *row = calloc(1, sizeof *row);
    if (row == NULL) return NULL;
    row->key = malloc(strlen(key) + 1);
    if (row->key == NULL) {
        free(row);
        return NULL;
    }
    strcpy(row->key, key);
    struct row **bucket = &table->rows[bucket_of(key)];
    row->next = *bucket;
    *bucket = row;
    return row;
}

void table_free(struct table *table) {
    for (size_t i = 0; i < TABLE_BUCKETS; i++)
        for (struct row *row = table->rows[i], *next; row != NULL; row = next) {
            next = row->next;
            free(row->key);
            free(row);
        }
}
