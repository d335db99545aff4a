/* POSIX files. */
#define _POSIX_C_SOURCE 200809L
#define _XOPEN_SOURCE 700
#include "cli/files.h"

#include "cli/memory.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

/* ---- reading ---- */

/* Everything from a descriptor; NULL with errno. */
static char *read_all(int descriptor, size_t expected, size_t *length) {
    size_t room = expected + 1, count = 0;
    char *bytes = memory_piece(room);
    while (bytes != NULL) {
        if (count > SELVAGE_MOST_BYTES) {
            *length = count; /* enough to be told that it is too much */
            return bytes;
        }
        ssize_t got = read(descriptor, bytes + count, room - count);
        if (got == 0) {
            *length = count;
            return bytes;
        }
        if (got < 0 && errno == EINTR) continue;
        if (got < 0) {
            int error = errno;
            free(bytes);
            errno = error;
            return NULL;
        }
        count += (size_t)got;
        if (count < room) continue;
        room *= 2;
        char *grown = realloc(bytes, room);
        if (grown == NULL) free(bytes);
        bytes = grown;
    }
    errno = ENOMEM;
    return NULL;
}

/* Fills bytes, length and identity of a file. */
static bool read_path(struct file *file, bool regular) {
    if (!regular && strcmp(file->path, "-") == 0) {
        file->bytes = read_all(STDIN_FILENO, 4096, &file->length);
        return file->bytes != NULL;
    }
    /* a pipe nobody writes to would be waited for */
    int descriptor = open(file->path, O_RDONLY | O_CLOEXEC | (regular ? O_NONBLOCK : 0));
    if (descriptor < 0) return false;
    struct stat status;
    size_t expected = 4096;
    bool known = fstat(descriptor, &status) == 0;
    if (regular && !(known && S_ISREG(status.st_mode))) {
        close(descriptor);
        errno = EINVAL;
        return false;
    }
    if (known) {
        file->device = status.st_dev;
        file->node = status.st_ino;
        if (S_ISREG(status.st_mode) && status.st_size <= SELVAGE_MOST_BYTES)
            expected = (size_t)status.st_size;
    }
    file->bytes = read_all(descriptor, expected, &file->length);
    int error = errno;
    close(descriptor);
    errno = error;
    return file->bytes != NULL;
}

static bool take_file(struct files *files, const char *path, bool regular,
                      struct selvage_text *text) {
    struct file *file = calloc(1, sizeof *file);
    if (file != NULL) file->path = strdup(path);
    if (file == NULL || file->path == NULL) {
        free(file);
        files->lacked_memory = true;
        errno = ENOMEM;
        return false;
    }
    if (!read_path(file, regular)) {
        int error = errno;
        files->lacked_memory |= error == ENOMEM;
        free(file->path);
        free(file);
        errno = error;
        return false;
    }
    file->next = files->first;
    files->first = file;
    *text = (struct selvage_text){file->bytes, file->length};
    return true;
}

bool files_read(struct files *files, const char *path, struct selvage_text *text) {
    return take_file(files, path, false, text);
}

bool files_read_used(struct files *files, const char *path, struct selvage_text *text) {
    return take_file(files, path, true, text);
}

void files_free(struct files *files) {
    for (struct file *file = files->first, *next; file != NULL; file = next) {
        next = file->next;
        free(file->path);
        free(file->bytes);
        free(file);
    }
    files->first = NULL;
}

bool file_was_read(const struct files *files, const struct stat *status) {
    for (; files != NULL; files = files->beside)
        for (const struct file *file = files->first; file != NULL; file = file->next)
            if (file->node == status->st_ino && file->device == status->st_dev) return true;
    return false;
}

bool path_was_read(const struct files *files, const char *path) {
    struct stat status;
    return stat(path, &status) == 0 && file_was_read(files, &status);
}

/* ---- writing ---- */

static bool write_all(int descriptor, struct selvage_text text) {
    for (size_t done = 0; done < text.length;) {
        ssize_t wrote = write(descriptor, text.bytes + done, text.length - done);
        if (wrote < 0 && errno == EINTR) continue;
        if (wrote < 0) return false;
        done += (size_t)wrote;
    }
    return true;
}

/* Whether the open file already holds the text. */
static bool holds(int descriptor, const struct stat *status, struct selvage_text text) {
    if ((size_t)status->st_size != text.length) return false;
    char block[16384];
    for (size_t done = 0; done < text.length;) {
        ssize_t got = read(descriptor, block, sizeof block);
        if (got <= 0 || memcmp(block, text.bytes + done, (size_t)got) != 0) return false;
        done += (size_t)got;
    }
    return true;
}

static enum written write_straight(const char *path, struct selvage_text text, bool anew) {
    int descriptor = open(path, O_WRONLY | O_CLOEXEC | (anew ? O_TRUNC : 0));
    if (descriptor < 0) return WRITE_FAILED;
    bool wrote = write_all(descriptor, text);
    int error = errno;
    bool closed = close(descriptor) == 0;
    if (!wrote) errno = error;
    return wrote && closed ? WRITE_DONE : WRITE_FAILED;
}

/* A file nobody may write to is left alone, by those too whom no mode holds up. */
static bool may_be_written(const char *path, const struct stat *status) {
    bool anybody = (status->st_mode & (S_IWUSR | S_IWGRP | S_IWOTH)) != 0;
    return anybody && access(path, W_OK) == 0;
}

/* The owner and group of what was there before, as far as they may be given. */
static void keep_owner(int descriptor, const struct stat *before) {
    if (before == NULL) return;
    int given = fchown(descriptor, before->st_uid, before->st_gid);
    if (given != 0) given = fchown(descriptor, (uid_t)-1, before->st_gid);
    (void)given;
}

/* The name of a file that is written first: `by`, or one of its own beside `path`. To be freed. */
static char *first_name(const char *path, const char *by) {
    if (by != NULL) return strdup(by);
    static const char ending[] = ".XXXXXX";
    size_t length = strlen(path);
    char *beside = malloc(length + sizeof ending);
    if (beside == NULL) return NULL;
    memcpy(beside, path, length);
    memcpy(beside + length, ending, sizeof ending);
    return beside;
}

static int open_anew(const char *by) {
    if (unlink(by) != 0 && errno != ENOENT) return -1;
    return open(by, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0600);
}

/* Writes a new file beside `path` with the given mode and puts it in its place. */
static enum written replace(const char *path, const char *by, struct selvage_text text, mode_t mode,
                            const struct stat *before) {
    char *beside = first_name(path, by);
    if (beside == NULL) return WRITE_FAILED;
    int descriptor = by != NULL ? open_anew(beside) : mkstemp(beside);
    bool sound = descriptor >= 0;
    if (sound) {
        keep_owner(descriptor, before);
        sound = write_all(descriptor, text) && fchmod(descriptor, mode) == 0;
        int error = errno;
        if (close(descriptor) != 0 && sound) {
            sound = false;
            error = errno;
        }
        errno = error;
        sound = sound && rename(beside, path) == 0;
        if (!sound) {
            error = errno;
            unlink(beside);
            errno = error;
        }
    }
    free(beside);
    return sound ? WRITE_DONE : WRITE_FAILED;
}

static mode_t usual_mode(void) {
    mode_t mask = umask(0);
    umask(mask);
    return 0666 & ~mask;
}

enum written file_write(const struct files *sources, const char *path, struct selvage_text text) {
    return file_write_by(sources, path, NULL, text);
}

enum written file_write_by(const struct files *sources, const char *path, const char *by,
                           struct selvage_text text) {
    struct stat status;
    int descriptor = open(path, O_RDONLY | O_CLOEXEC | O_NONBLOCK);
    bool there = descriptor >= 0 ? fstat(descriptor, &status) == 0 : stat(path, &status) == 0;
    bool regular = there && S_ISREG(status.st_mode);
    bool refused = there && file_was_read(sources, &status);
    bool unchanged = !refused && descriptor >= 0 && regular && holds(descriptor, &status, text);
    if (descriptor >= 0) close(descriptor);
    if (refused) return WRITE_REFUSED;
    if (unchanged) return WRITE_UNCHANGED;
    if (there && !regular) return write_straight(path, text, false);
    if (!there) return replace(path, by, text, usual_mode(), NULL);
    if (!may_be_written(path, &status)) {
        errno = EACCES;
        return WRITE_FAILED;
    }
    if (status.st_nlink > 1 && by == NULL) return write_straight(path, text, true);
    /* A link is written through, not replaced. */
    char *real = realpath(path, NULL);
    if (real == NULL) return WRITE_FAILED;
    enum written written = replace(real, by, text, status.st_mode & 07777, &status);
    free(real);
    return written;
}

bool file_exists(const char *path) {
    struct stat status;
    return stat(path, &status) == 0;
}

bool folder_make(const char *path) {
    struct stat status;
    if (stat(path, &status) == 0) {
        if (S_ISDIR(status.st_mode)) return true;
        errno = ENOTDIR;
        return false;
    }
    char *part = strdup(path);
    if (part == NULL) return false;
    bool sound = true;
    for (char *slash = part + 1; sound && *slash != '\0'; slash++) {
        if (*slash != '/') continue;
        *slash = '\0';
        sound = mkdir(part, 0777) == 0 || errno == EEXIST;
        *slash = '/';
    }
    sound = sound && (mkdir(part, 0777) == 0 || errno == EEXIST);
    int error = errno;
    free(part);
    errno = error;
    return sound;
}
