/* A folder of pages. */
#define _DEFAULT_SOURCE /* flock */
#define _POSIX_C_SOURCE 200809L
#include "cli/site.h"

#include "cli/job.h"

#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdlib.h>
#include <string.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

static const char manifest_name[] = "selvage-catalogue.txt", part_name[] = "selvage-catalogue.part";

/* Among the first bytes of every page of a catalogue. */
static const char mark[] = "<meta name=\"generator\" content=\"Selvage catalogue\"";
enum { MARK_WITHIN = 1024 };

/* Of many names that many are told. */
enum { MOST_TOLD = 12 };

/* ---- paths ---- */

static char *path_in(const struct site *site, const char *a, const char *b, const char *c,
                     const char *d) {
    size_t room = strlen(site->folder) + strlen(a) + strlen(b) + strlen(c) + strlen(d) + 2;
    char *path = malloc(room);
    if (path != NULL) snprintf(path, room, "%s/%s%s%s%s", site->folder, a, b, c, d);
    return path;
}

/* Of a file of a pattern; to be freed, NULL where there is no memory. */
static char *page_path(const struct site *site, const char *name, int page) {
    if (name == NULL) return path_in(site, "index.html", "", "", "");
    if (page == 0) return path_in(site, name, "/", "index.html", "");
    enum selvage_output output = (enum selvage_output)(page - 1);
    if (output == SELVAGE_PAGE) return path_in(site, name, "/", "bench.html", "");
    return path_in(site, name, "/", name, selvage_output_suffix(output));
}

static enum exit_status no_memory(const struct site *site) {
    return complain(site->folder, "not enough memory");
}

/* What keeps one file from being written keeps all from it. */
static enum exit_status stop(struct site *site, enum exit_status status) {
    site->stopped |= status == EXIT_FILES;
    return status;
}

/* ---- what is there ---- */

/* Whether a page is there that no catalogue wrote. */
static bool is_foreign(const char *path) {
    char bytes[MARK_WITHIN + 1];
    int descriptor = open(path, O_RDONLY | O_CLOEXEC | O_NONBLOCK);
    if (descriptor < 0) return errno != ENOENT;
    ssize_t got = read(descriptor, bytes, MARK_WITHIN);
    close(descriptor);
    bytes[got > 0 ? got : 0] = '\0';
    return strstr(bytes, mark) == NULL;
}

static enum exit_status refuse_foreign(const char *path) {
    complain(path, "is there already and no catalogue wrote it; it is not written over");
    return EXIT_USAGE;
}

bool site_holds(const struct site *site, const struct made *made) {
    bool holds = true;
    for (int i = 0; holds && i < PAGES; i++) {
        struct stat status;
        char *path = page_path(site, made->name, i);
        holds = path != NULL && stat(path, &status) == 0 && S_ISREG(status.st_mode) &&
                (size_t)status.st_size == made->lengths[i];
        free(path);
    }
    return holds;
}

bool site_read(const struct site *site, struct files *files, const char *name, int page,
               struct selvage_text *text) {
    char *path = page_path(site, name, page);
    bool got = path != NULL && files_read_used(files, path, text);
    free(path);
    return got;
}

/* ---- opening ---- */

static bool know(struct site *site, const char *name) {
    return table_find(&site->known, name) != NULL || table_add(&site->known, name) != NULL;
}

static bool know_all(struct site *site) {
    bool sound = true;
    for (size_t i = 0; sound && i < site->before.claimed_count; i++)
        sound = know(site, site->before.claimed[i]);
    for (size_t i = 0; sound && i < site->before.count; i++)
        for (size_t k = 0; sound && k < site->before.entries[i].made_count; k++)
            sound = know(site, site->before.entries[i].made[k].name);
    return sound;
}

static enum exit_status read_manifest(struct site *site) {
    struct files files = {0};
    struct selvage_text text = {0};
    char *path = path_in(site, manifest_name, "", "", "");
    if (path == NULL) return no_memory(site);
    bool got = files_read_used(&files, path, &text);
    bool sound = !files.lacked_memory;
    if (got && sound) sound = manifest_read(&site->before, text, site->wanted) && know_all(site);
    site->begun = site->before.sound;
    files_free(&files);
    free(path);
    return sound ? EXIT_DONE : no_memory(site);
}

static enum exit_status lock_folder(struct site *site) {
    site->lock = open(site->folder, O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    if (site->lock < 0) return complain(site->folder, strerror(errno));
    if (flock(site->lock, LOCK_EX | LOCK_NB) != 0 && errno == EWOULDBLOCK)
        return complain(site->folder, "another catalogue is being written there");
    return EXIT_DONE; /* a system that cannot lock a folder goes without */
}

enum exit_status site_open(struct site *site, const char *folder, struct digest wanted) {
    *site = (struct site){.folder = folder, .lock = -1, .wanted = wanted};
    if (!folder_make(folder)) return complain(folder, strerror(errno));
    enum exit_status status = lock_folder(site);
    if (status == EXIT_DONE) status = read_manifest(site);
    if (status != EXIT_DONE) return status;
    char *index = page_path(site, NULL, 0);
    site->part = path_in(site, part_name, "", "", "");
    if (index == NULL || site->part == NULL)
        status = no_memory(site);
    else if (!site->before.sound && is_foreign(index))
        status = refuse_foreign(index);
    else
        unlink(site->part); /* of a run that was ended */
    free(index);
    return status;
}

void site_close(struct site *site) {
    manifest_free(&site->before);
    table_free(&site->known);
    free(site->part);
    if (site->lock >= 0) close(site->lock);
}

/* ---- writing ---- */

/* Signals that end the command wait until a file is whole. */
static enum written write_whole(const struct site *site, const struct files *sources,
                                const char *path, struct selvage_text text) {
    sigset_t ending, before;
    sigemptyset(&ending);
    sigaddset(&ending, SIGINT);
    sigaddset(&ending, SIGTERM);
    sigaddset(&ending, SIGHUP);
    sigprocmask(SIG_BLOCK, &ending, &before);
    enum written written = file_write_by(sources, path, site->part, text);
    int error = errno;
    sigprocmask(SIG_SETMASK, &before, NULL);
    errno = error;
    return written;
}

enum exit_status site_write(struct site *site, const struct files *sources, const char *name,
                            int page, struct selvage_text text) {
    char *path = page_path(site, name, page);
    if (path == NULL) return no_memory(site);
    enum written written = write_whole(site, sources, path, text);
    site->written += written == WRITE_DONE;
    site->unchanged += written == WRITE_UNCHANGED;
    enum exit_status status = stop(site, judge_written(path, written));
    free(path);
    return status;
}

static enum exit_status write_manifest(const struct site *site, const struct files *sources,
                                       const struct manifest *manifest) {
    size_t length;
    char *path = path_in(site, manifest_name, "", "", "");
    char *text = path != NULL ? manifest_text(manifest, site->wanted, &length) : NULL;
    enum exit_status status =
        text == NULL ? no_memory(site)
                     : judge_written(path, write_whole(site, sources, path,
                                                       (struct selvage_text){text, length}));
    free(text);
    free(path);
    return status;
}

/* Behind the manifest: should this run end early, a later one knows whose files these are. */
static enum exit_status note_claim(struct site *site, const char *name) {
    static const struct files none = {0};
    static const struct manifest empty = {0};
    enum exit_status status = site->begun ? EXIT_DONE : write_manifest(site, &none, &empty);
    if (status != EXIT_DONE) return stop(site, status);
    site->begun = true;
    char *path = path_in(site, manifest_name, "", "", "");
    if (path == NULL) return no_memory(site);
    FILE *file = fopen(path, "a");
    bool wrote = file != NULL && fprintf(file, "claim %s\n", name) > 0;
    if (file != NULL && fclose(file) != 0) wrote = false;
    if (!wrote) status = stop(site, complain(path, strerror(errno)));
    free(path);
    return status;
}

static enum exit_status judge_folder(const struct site *site, const char *name) {
    enum exit_status status = EXIT_DONE;
    char *page = page_path(site, name, 0);
    if (page == NULL) return no_memory(site);
    bool ours = file_exists(page) && !is_foreign(page);
    for (int i = 0; !ours && status == EXIT_DONE && i < PAGES; i++) {
        char *path = page_path(site, name, i);
        if (path == NULL)
            status = no_memory(site);
        else if (file_exists(path))
            status = refuse_foreign(path);
        free(path);
    }
    free(page);
    return status;
}

enum exit_status site_begin(struct site *site, const char *name) {
    bool known = table_find(&site->known, name) != NULL;
    enum exit_status status = known ? EXIT_DONE : judge_folder(site, name);
    if (status != EXIT_DONE) return status;
    if (!known) status = note_claim(site, name);
    char *folder = path_in(site, name, "", "", "");
    if (folder == NULL) return no_memory(site);
    if (status == EXIT_DONE && !folder_make(folder))
        status = stop(site, complain(folder, strerror(errno)));
    free(folder);
    return status;
}

/* ---- removing ---- */

static enum exit_status remove_pattern(struct site *site, const char *name) {
    enum exit_status status = EXIT_DONE;
    for (int i = 0; i < PAGES; i++) {
        char *path = page_path(site, name, i);
        if (path == NULL) return no_memory(site);
        if (unlink(path) == 0)
            site->removed++;
        else if (errno != ENOENT && errno != ENOTDIR)
            status = complain(path, strerror(errno));
        free(path);
    }
    char *folder = path_in(site, name, "", "", "");
    if (folder == NULL) return no_memory(site);
    (void)rmdir(folder); /* it stays where somebody else's files are in it */
    free(folder);
    return status;
}

static int by_name(const void *left, const void *right) {
    return strcmp(*(const char *const *)left, *(const char *const *)right);
}

/* The patterns known that are not among `names`, in order; to be freed. NULL where there is no
 * memory. */
static const char **gone(const struct site *site, const struct table *names, size_t *count) {
    size_t room = 1;
    for (size_t i = 0; i < TABLE_BUCKETS; i++)
        for (const struct row *row = site->known.rows[i]; row != NULL; row = row->next)
            room++;
    const char **list = malloc(room * sizeof *list);
    *count = 0;
    for (size_t i = 0; list != NULL && i < TABLE_BUCKETS; i++)
        for (const struct row *row = site->known.rows[i]; row != NULL; row = row->next)
            if (table_find(names, row->key) == NULL) list[(*count)++] = row->key;
    if (list != NULL) qsort(list, *count, sizeof *list, by_name);
    return list;
}

static enum exit_status remove_patterns(struct site *site, const char *const *list, size_t count) {
    enum exit_status status = EXIT_DONE;
    size_t told = 0;
    for (size_t i = 0; i < count; i++) {
        size_t before = site->removed;
        status = worse(status, remove_pattern(site, list[i]));
        if (site->removed > before && told++ < MOST_TOLD)
            printf("%s/%s: removed\n", site->folder, list[i]);
    }
    if (told > MOST_TOLD) printf("%s: and %zu more removed\n", site->folder, told - MOST_TOLD);
    return status;
}

static enum exit_status note_claims(struct site *site, const char *const *list, size_t count) {
    enum exit_status status = EXIT_DONE;
    for (size_t i = 0; status == EXIT_DONE && i < count; i++)
        status = note_claim(site, list[i]);
    return status;
}

enum exit_status site_finish(struct site *site, const struct files *sources,
                             const struct manifest *now, const struct table *names, bool unsure) {
    size_t count;
    const char **list = gone(site, names, &count);
    if (list == NULL) return no_memory(site);
    enum exit_status status = unsure ? EXIT_DONE : remove_patterns(site, list, count);
    status = worse(status, write_manifest(site, sources, now));
    if (unsure) status = worse(status, note_claims(site, list, count));
    free(list);
    return status;
}
