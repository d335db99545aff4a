/* Digests by names of files. */
#define _POSIX_C_SOURCE 200809L /* lstat */
#include "cli/wrote.h"

#include <errno.h>
#include <stdio.h>
#include <string.h>

enum { KEY_ROOM = NAME_MOST + 16 };

static void print_key(char key[KEY_ROOM], const char *pattern, int page) {
    snprintf(key, KEY_ROOM, "%s/%d", pattern, page);
}

static const struct row *next_of(const struct row *row, const char *key) {
    while (row != NULL && strcmp(row->key, key) != 0)
        row = row->next;
    return row;
}

bool wrote_add(struct wrote *wrote, const char *pattern, int page, struct digest digest) {
    char key[KEY_ROOM];
    print_key(key, pattern, page);
    struct row *row = table_add(&wrote->files, key);
    if (row == NULL) return false;
    row->digest = digest;
    return *pattern == '\0' || table_find(&wrote->patterns, pattern) != NULL ||
           table_add(&wrote->patterns, pattern) != NULL;
}

static bool is_none(struct digest digest) { return digest.sum == 0 && digest.length == 0; }

static bool add_made(struct wrote *wrote, const struct made *made) {
    bool sound = true;
    for (int page = 0; sound && page < PAGES; page++)
        if (!is_none(made->wrote[page]))
            sound = wrote_add(wrote, made->name, page, made->wrote[page]);
    return sound;
}

bool wrote_add_all(struct wrote *wrote, const struct manifest *manifest) {
    bool sound = is_none(manifest->index) || wrote_add(wrote, "", 0, manifest->index);
    for (size_t i = 0; sound && i < manifest->count; i++)
        for (size_t k = 0; sound && k < manifest->entries[i].made_count; k++)
            sound = add_made(wrote, &manifest->entries[i].made[k]);
    for (size_t i = 0; sound && i < manifest->note_count; i++) {
        const struct note *note = &manifest->notes[i];
        sound = wrote_add(wrote, note->pattern, note->page, note->digest);
    }
    return sound;
}

void wrote_free(struct wrote *wrote) {
    table_free(&wrote->patterns);
    table_free(&wrote->files);
}

bool wrote_this(const struct wrote *wrote, const char *pattern, int page, struct digest digest) {
    char key[KEY_ROOM];
    print_key(key, pattern, page);
    for (const struct row *row = table_find(&wrote->files, key); row != NULL;
         row = next_of(row->next, key))
        if (digest_same(row->digest, digest)) return true;
    return false;
}

struct digest wrote_last(const struct wrote *wrote, const char *pattern, int page) {
    char key[KEY_ROOM];
    print_key(key, pattern, page);
    const struct row *row = table_find(&wrote->files, key);
    return row != NULL ? row->digest : (struct digest){0};
}

bool wrote_note(const struct wrote *wrote, const char *pattern, struct manifest *manifest) {
    bool sound = true;
    for (int page = 0; sound && page < PAGES; page++) {
        char key[KEY_ROOM];
        print_key(key, pattern, page);
        for (const struct row *row = table_find(&wrote->files, key); sound && row != NULL;
             row = next_of(row->next, key))
            sound = manifest_add_note(manifest, pattern, page, row->digest);
    }
    return sound;
}

struct found find_kind(const char *path) {
    struct found found = {.kind = FOUND_ELSE};
    if (lstat(path, &found.status) != 0) {
        bool nothing = errno == ENOENT || errno == ENOTDIR;
        found.kind = nothing ? FOUND_NOTHING : FOUND_ERROR;
    } else if (S_ISREG(found.status.st_mode)) {
        found.kind = FOUND_FILE;
    } else if (S_ISDIR(found.status.st_mode)) {
        found.kind = FOUND_FOLDER;
    } else if (S_ISLNK(found.status.st_mode)) {
        found.kind = FOUND_LINK;
    }
    return found;
}

struct found find_file(const char *path) {
    struct found found = find_kind(path);
    if (found.kind != FOUND_FILE) return found;
    struct files files = {0};
    struct selvage_text text;
    if (files_read_used(&files, path, &text))
        found.digest = digest_of(text);
    else if (errno != EACCES)
        found.kind = FOUND_ERROR;
    int error = errno;
    files_free(&files);
    errno = error;
    return found;
}
