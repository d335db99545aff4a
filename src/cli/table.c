/* Rows in buckets. */
#include "cli/table.h"

#include <stdlib.h>
#include <string.h>

static char small(char letter) {
    return letter >= 'A' && letter <= 'Z' ? (char)(letter - 'A' + 'a') : letter;
}

static bool same(const struct table *table, const char *a, const char *b) {
    if (!table->any_case) return strcmp(a, b) == 0;
    while (*a != '\0' && small(*a) == small(*b)) {
        a++;
        b++;
    }
    return *a == *b;
}

static size_t bucket_of(const char *key) {
    struct digest digest = digest_begin();
    for (; *key != '\0'; key++) {
        char letter = small(*key);
        digest = digest_more(digest, &letter, 1);
    }
    return (size_t)(digest.sum % TABLE_BUCKETS);
}

struct row *table_find(const struct table *table, const char *key) {
    for (struct row *row = table->rows[bucket_of(key)]; row != NULL; row = row->next)
        if (same(table, row->key, key)) return row;
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
