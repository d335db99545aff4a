/* Folders by fts, one word after another. */
#define _GNU_SOURCE /* fts */
#include "cli/walk.h"

#include <errno.h>
#include <fts.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>

void walk_open(struct walk *walk, char **words) { *walk = (struct walk){.words = words}; }

void walk_close(struct walk *walk) {
    if (walk->folders != NULL) fts_close(walk->folders);
    walk->folders = NULL;
}

static int by_name(const FTSENT **left, const FTSENT **right) {
    return strcmp((*left)->fts_name, (*right)->fts_name);
}

static bool is_source(const FTSENT *entry) {
    static const char ending[] = ".slv";
    size_t length = strlen(ending);
    if (entry->fts_level == 0) return true;
    return entry->fts_namelen > length &&
           strcmp(entry->fts_name + entry->fts_namelen - length, ending) == 0;
}

/* What a folder holds besides ordinary files, such as pipes, is not read: it may not end. A link
 * that leads nowhere is told when it is opened. */
static bool is_ordinary(const FTSENT *entry) {
    struct stat status;
    if (entry->fts_info == FTS_F) return true;
    if (entry->fts_info != FTS_SL && entry->fts_info != FTS_SLNONE) return false;
    return stat(entry->fts_accpath, &status) != 0 || S_ISREG(status.st_mode);
}

/* To be freed; NULL with an error where there is no memory. */
static char *copy_of(const char *path, int *error) {
    char *copy = strdup(path);
    if (copy == NULL) *error = ENOMEM;
    return copy;
}

/* The next of the word at work; NULL where it has no more. */
static char *next_below(struct walk *walk, int *error) {
    for (FTSENT *entry; errno = 0, (entry = fts_read(walk->folders)) != NULL;) {
        bool hidden = entry->fts_level > 0 && entry->fts_name[0] == '.';
        if (entry->fts_info == FTS_D && hidden) fts_set(walk->folders, entry, FTS_SKIP);
        if (entry->fts_info == FTS_D || entry->fts_info == FTS_DP || hidden) continue;
        bool lost = entry->fts_info == FTS_DNR || entry->fts_info == FTS_ERR ||
                    (entry->fts_info == FTS_NS && entry->fts_level > 0);
        if (!lost && !(is_source(entry) && is_ordinary(entry))) continue;
        *error = lost ? entry->fts_errno : 0;
        return copy_of(entry->fts_path, error);
    }
    *error = errno; /* 0 behind the last */
    return NULL;
}

static bool is_folder(const char *path) {
    struct stat status;
    return stat(path, &status) == 0 && S_ISDIR(status.st_mode);
}

char *walk_next(struct walk *walk, int *error) {
    *error = 0;
    while (walk->folders != NULL || *walk->words != NULL) {
        if (walk->folders == NULL) {
            char *one[] = {*walk->words++, NULL};
            if (strcmp(one[0], "-") == 0 || !is_folder(one[0])) return copy_of(one[0], error);
            walk->any = false;
            walk->folders = fts_open(one, FTS_PHYSICAL | FTS_COMFOLLOW | FTS_NOCHDIR, by_name);
            if (walk->folders == NULL) {
                *error = errno;
                return copy_of(one[0], error);
            }
        }
        char *path = next_below(walk, error);
        walk->any |= path != NULL;
        if (path != NULL || *error != 0) return path;
        walk->bare |= !walk->any;
        if (!walk->any)
            fprintf(stderr, "selvage: %s: there is no .slv in this folder\n", walk->words[-1]);
        walk_close(walk);
    }
    return NULL;
}
