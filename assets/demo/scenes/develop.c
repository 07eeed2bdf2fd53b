/* SPDX-License-Identifier: MIT */
/* Develops a ray-traced picture as a phone would: exposure, white balance, tone, lens and sensor, then a
 * tagged JPEG with EXIF. Writes what is true of the piece, measured before noise and JPEG.
 * In: 16-bit linear PNG (Display P3 primaries) and the exact mask. Build: see `render`. */
#include <stdio.h> /* before jpeglib.h, which needs it */

#include <jpeglib.h>
#include <lcms2.h>
#include <libexif/exif-data.h>
#include <math.h>
#include <png.h>
#include <stdlib.h>
#include <string.h>

typedef struct picture {
  int width, height, channels;
  float *at; /* channels floats per pixel, 0..1 */
} picture;

typedef struct wish {
  const char *name, *linear, *mask, *jpeg, *profile, *model, *when;
  double exposure, warm, tint, vignette, noise;
  int orientation, quality, focal_35_mm;
} wish;

static void stop(const char *what, const char *name)
{
  fprintf(stderr, "%s: %s\n", name, what);
  exit(1);
}

static float *room_for(size_t count)
{
  float *room = calloc(count, sizeof *room);
  if (room == NULL) stop("not enough memory", "develop");
  return room;
}

/* ---- reading and writing PNG ------------------------------------------------------------- */
static picture read_png(const char *path, int channels)
{
  FILE *file = fopen(path, "rb");
  if (file == NULL) stop("cannot be opened", path);
  png_structp png = png_create_read_struct(PNG_LIBPNG_VER_STRING, NULL, NULL, NULL);
  png_infop info = png_create_info_struct(png);
  if (setjmp(png_jmpbuf(png))) stop("is not a PNG", path);
  png_init_io(png, file);
  png_read_info(png, info);
  png_set_expand_16(png);
  png_set_strip_alpha(png);
  if (channels == 3) png_set_gray_to_rgb(png);
  png_read_update_info(png, info);
  const int width = (int)png_get_image_width(png, info), height = (int)png_get_image_height(png, info);
  const int stored = png_get_channels(png, info);
  const size_t row_size = png_get_rowbytes(png, info);
  unsigned char *row = malloc(row_size);
  picture out = { width, height, channels, room_for((size_t)width * height * channels) };
  for (int y = 0; y < height; y++) {
    png_read_row(png, row, NULL);
    for (int x = 0; x < width; x++)
      for (int c = 0; c < channels; c++) {
        const unsigned char *p = row + 2 * ((size_t)x * stored + c);
        out.at[((size_t)y * width + x) * channels + c] = (float)(p[0] * 256 + p[1]) / 65535.0f;
      }
  }
  free(row);
  png_destroy_read_struct(&png, &info, NULL);
  fclose(file);
  return out;
}

static void write_mask(const char *path, const picture *mask)
{
  FILE *file = fopen(path, "wb");
  if (file == NULL) stop("cannot be written", path);
  png_structp png = png_create_write_struct(PNG_LIBPNG_VER_STRING, NULL, NULL, NULL);
  png_infop info = png_create_info_struct(png);
  if (setjmp(png_jmpbuf(png))) stop("cannot be written", path);
  png_init_io(png, file);
  png_set_compression_level(png, 9);
  png_set_IHDR(png, info, mask->width, mask->height, 8, PNG_COLOR_TYPE_GRAY, PNG_INTERLACE_NONE, PNG_COMPRESSION_TYPE_DEFAULT,
               PNG_FILTER_TYPE_DEFAULT);
  png_write_info(png, info);
  unsigned char *row = malloc((size_t)mask->width);
  for (int y = 0; y < mask->height; y++) {
    for (int x = 0; x < mask->width; x++) row[x] = (unsigned char)lrintf(mask->at[(size_t)y * mask->width + x] * 255);
    png_write_row(png, row);
  }
  png_write_end(png, NULL);
  free(row);
  png_destroy_write_struct(&png, &info);
  if (fclose(file) != 0) stop("cannot be written", path);
}

/* ---- colour ---------------------------------------------------------------------------- */
/* Primaries: ITU-R BT.709, SMPTE EG 432-1 (Display P3), Adobe RGB (1998) 4.3.1; white D65. */
static cmsHPROFILE profile_of(const char *name, int linear)
{
  const cmsCIExyY d65 = { 0.3127, 0.3290, 1 };
  cmsCIExyYTRIPLE primaries = { { 0.64, 0.33, 1 }, { 0.30, 0.60, 1 }, { 0.15, 0.06, 1 } };
  if (strcmp(name, "Display P3") == 0)
    primaries = (cmsCIExyYTRIPLE) { { 0.680, 0.320, 1 }, { 0.265, 0.690, 1 }, { 0.150, 0.060, 1 } };
  if (strcmp(name, "Adobe RGB (1998)") == 0) primaries.Green = (cmsCIExyY) { 0.21, 0.71, 1 };
  const double srgb[5] = { 2.4, 1 / 1.055, 0.055 / 1.055, 1 / 12.92, 0.04045 };
  cmsToneCurve *curve = linear ? cmsBuildGamma(NULL, 1.0)
                        : strcmp(name, "Adobe RGB (1998)") == 0
                            ? cmsBuildGamma(NULL, 563.0 / 256.0)
                            : cmsBuildParametricToneCurve(NULL, 4, srgb);
  cmsToneCurve *curves[3] = { curve, curve, curve };
  cmsHPROFILE profile = cmsCreateRGBProfile(&d65, &primaries, curves);
  cmsMLU *text = cmsMLUalloc(NULL, 1);
  cmsMLUsetASCII(text, "en", "US", name);
  cmsWriteTag(profile, cmsSigProfileDescriptionTag, text);
  cmsMLUsetASCII(text, "en", "US", "No copyright, use freely");
  cmsWriteTag(profile, cmsSigCopyrightTag, text);
  cmsMLUfree(text);
  cmsFreeToneCurve(curve);
  return profile;
}

static int known_profile(const char *name)
{
  static const char *const known[] = { "sRGB", "Display P3", "Adobe RGB (1998)", "untagged" };
  for (size_t i = 0; i < sizeof known / sizeof *known; i++)
    if (strcmp(known[i], name) == 0) return 1;
  return 0;
}

/* In a photo without a tag the figures are sRGB. */
static const char *space_of(const wish *want)
{
  return strcmp(want->profile, "untagged") == 0 ? "sRGB" : want->profile;
}

/* Straight up to 0.55, then a shoulder that reaches white slowly. */
static float tone(float x)
{
  const float knee = 0.55f;
  return x <= knee ? x : knee + (1 - knee) * (1 - expf(-(x - knee) / (1 - knee)));
}

static void expose(picture *p, const wish *want)
{
  const float gain[3] = { (float)(want->exposure * (1 + want->warm)), (float)(want->exposure * (1 + want->tint)),
                          (float)(want->exposure * (1 - want->warm)) };
  const float cx = p->width / 2.0f, cy = p->height / 2.0f, far = cx * cx + cy * cy;
  for (int y = 0; y < p->height; y++)
    for (int x = 0; x < p->width; x++) {
      const float r2 = ((x - cx) * (x - cx) + (y - cy) * (y - cy)) / far;
      const float fall = 1 - (float)want->vignette * r2 * (0.5f + 0.5f * r2);
      float *v = p->at + 3 * ((size_t)y * p->width + x);
      for (int c = 0; c < 3; c++) v[c] = tone(v[c] * gain[c] * fall);
    }
}

/* From linear P3 to the photo's own encoding, 0..1; what lies outside its gamut is clipped as a phone does. */
static void encode(picture *p, const wish *want)
{
  cmsHPROFILE from = profile_of("Display P3", 1), to = profile_of(space_of(want), 0);
  cmsHTRANSFORM t = cmsCreateTransform(from, TYPE_RGB_FLT, to, TYPE_RGB_FLT, INTENT_RELATIVE_COLORIMETRIC,
                                       cmsFLAGS_NOCACHE | cmsFLAGS_NOOPTIMIZE);
  if (t == NULL) stop("no colour transform", want->name);
  cmsDoTransform(t, p->at, p->at, (cmsUInt32Number)(p->width * p->height));
  for (size_t i = 0; i < (size_t)p->width * p->height * 3; i++) p->at[i] = fminf(1, fmaxf(0, p->at[i]));
  cmsDeleteTransform(t);
  cmsCloseProfile(from);
  cmsCloseProfile(to);
}

/* ---- truth ------------------------------------------------------------------------------- */
typedef struct sums { double mass, L, a, b, X, Y, Z, luminance; } sums;

/* Relative luminance is that of D65 sRGB, from XYZ adapted to D65: its Y in linear sRGB. */
static sums measure(const picture *p, const picture *mask, const wish *want)
{
  cmsHPROFILE own = profile_of(space_of(want), 0), lab = cmsCreateLab4Profile(NULL), lin = profile_of("sRGB", 1);
  cmsHTRANSFORM to_lab = cmsCreateTransform(own, TYPE_RGB_FLT, lab, TYPE_Lab_DBL, INTENT_RELATIVE_COLORIMETRIC,
                                            cmsFLAGS_NOCACHE | cmsFLAGS_NOOPTIMIZE);
  cmsHTRANSFORM to_lin = cmsCreateTransform(own, TYPE_RGB_FLT, lin, TYPE_RGB_FLT, INTENT_RELATIVE_COLORIMETRIC,
                                            cmsFLAGS_NOCACHE | cmsFLAGS_NOOPTIMIZE);
  sums s = { 0 };
  for (size_t i = 0; i < (size_t)p->width * p->height; i++) {
    const double m = mask->at[i];
    if (m <= 0) continue;
    cmsCIELab v;
    cmsCIEXYZ xyz;
    float rgb[3];
    cmsDoTransform(to_lab, p->at + 3 * i, &v, 1);
    cmsDoTransform(to_lin, p->at + 3 * i, rgb, 1);
    cmsLab2XYZ(cmsD50_XYZ(), &xyz, &v);
    s.mass += m, s.L += m * v.L, s.a += m * v.a, s.b += m * v.b;
    s.X += m * xyz.X, s.Y += m * xyz.Y, s.Z += m * xyz.Z;
    s.luminance += m * (0.2126 * rgb[0] + 0.7152 * rgb[1] + 0.0722 * rgb[2]);
  }
  cmsDeleteTransform(to_lab);
  cmsDeleteTransform(to_lin);
  cmsCloseProfile(own), cmsCloseProfile(lab), cmsCloseProfile(lin);
  return s;
}

static void write_truth(const picture *p, const picture *mask, const wish *want)
{
  const sums s = measure(p, mask, want);
  if (s.mass <= 0) stop("the mask is empty", want->mask);
  int x0 = p->width, y0 = p->height, x1 = -1, y1 = -1;
  for (int y = 0; y < p->height; y++)
    for (int x = 0; x < p->width; x++)
      if (mask->at[(size_t)y * p->width + x] >= 0.5f) {
        if (x < x0) x0 = x;
        if (x > x1) x1 = x;
        if (y < y0) y0 = y;
        if (y > y1) y1 = y;
      }
  const cmsCIEXYZ mixed = { s.X / s.mass, s.Y / s.mass, s.Z / s.mass };
  cmsCIELab mixed_lab;
  cmsXYZ2Lab(cmsD50_XYZ(), &mixed_lab, &mixed);
  printf("\"%s\": {\"photo\": \"photos/%s.jpg\", \"mask\": \"truth/%s.mask.png\", \"pixels\": [%d, %d], "
         "\"profile\": \"%s\", \"orientation\": %d, \"box\": [%d, %d, %d, %d], \"area_share\": %.5f, "
         "\"lab\": [%.2f, %.2f, %.2f], \"mixed_lab\": [%.2f, %.2f, %.2f], \"luminance\": %.5f}\n",
         want->name, want->name, want->name, p->width, p->height, want->profile, want->orientation, x0, y0,
         x1 - x0 + 1, y1 - y0 + 1, s.mass / ((double)p->width * p->height), s.L / s.mass, s.a / s.mass, s.b / s.mass,
         mixed_lab.L, mixed_lab.a, mixed_lab.b, s.luminance / s.mass);
}

/* ---- the phone's own marks ------------------------------------------------------------------ */
static unsigned long long dice;
static double uniform(void)
{
  dice = dice * 6364136223846793005ULL + 1442695040888963407ULL;
  return (double)(dice >> 11) / 9007199254740992.0;
}
static float bell(void)
{
  return (float)(uniform() + uniform() + uniform() + uniform() - 2) * 1.73f;
}

/* A small unsharp mask, then noise that is grainier in the shadows and a little coarser in colour. */
static void finish(picture *p, const wish *want)
{
  const int w = p->width, h = p->height;
  float *old = room_for((size_t)w * h * 3);
  memcpy(old, p->at, (size_t)w * h * 3 * sizeof *old);
  for (const char *c = want->name; *c != 0; c++) dice = dice * 31 + (unsigned char)*c;
  for (int y = 0; y < h; y++)
    for (int x = 0; x < w; x++) {
      const int xa = x > 0 ? x - 1 : x, xb = x < w - 1 ? x + 1 : x, ya = y > 0 ? y - 1 : y, yb = y < h - 1 ? y + 1 : y;
      const float grain = bell();
      for (int c = 0; c < 3; c++) {
        const float v = old[3 * ((size_t)y * w + x) + c];
        const float round = 0.25f * (old[3 * ((size_t)y * w + xa) + c] + old[3 * ((size_t)y * w + xb) + c] +
                                     old[3 * ((size_t)ya * w + x) + c] + old[3 * ((size_t)yb * w + x) + c]);
        const float sharp = v + 0.35f * fmaxf(-0.06f, fminf(0.06f, v - round));
        const float level = (float)want->noise * (0.45f + 0.55f * (1 - v));
        p->at[3 * ((size_t)y * w + x) + c] = sharp + level * (0.8f * grain + 0.5f * bell());
      }
    }
  free(old);
}

/* The sensor's own way up: the viewer turns it back by the EXIF orientation (TIFF 6.0 / EXIF 2.3 tag 0x0112). */
static const float *stored_pixel(const picture *p, int orientation, int x, int y)
{
  int ux = x, uy = y;
  if (orientation == 3) ux = p->width - 1 - x, uy = p->height - 1 - y;
  if (orientation == 6) ux = p->width - 1 - y, uy = x;
  if (orientation == 8) ux = y, uy = p->height - 1 - x;
  return p->at + 3 * ((size_t)uy * p->width + ux);
}

static void put_text(ExifData *exif, ExifIfd ifd, ExifTag tag, const char *text)
{
  ExifEntry *e = exif_entry_new();
  e->tag = tag;
  e->format = EXIF_FORMAT_ASCII;
  e->components = strlen(text) + 1;
  e->size = (unsigned)e->components;
  e->data = malloc(e->size);
  memcpy(e->data, text, e->size);
  exif_content_add_entry(exif->ifd[ifd], e);
  exif_entry_unref(e);
}

static ExifEntry *put_default(ExifData *exif, ExifIfd ifd, ExifTag tag)
{
  ExifEntry *e = exif_entry_new();
  exif_content_add_entry(exif->ifd[ifd], e);
  exif_entry_initialize(e, tag);
  exif_entry_unref(e);
  return e;
}

static void make_exif(const wish *want, int width, int height, unsigned char **out, unsigned *size)
{
  ExifData *exif = exif_data_new();
  exif_data_set_byte_order(exif, want->orientation == 1 ? EXIF_BYTE_ORDER_INTEL : EXIF_BYTE_ORDER_MOTOROLA);
  const ExifByteOrder order = exif_data_get_byte_order(exif);
  put_text(exif, EXIF_IFD_0, EXIF_TAG_MAKE, "Saltmarsh");
  put_text(exif, EXIF_IFD_0, EXIF_TAG_MODEL, want->model);
  put_text(exif, EXIF_IFD_0, EXIF_TAG_DATE_TIME, want->when);
  exif_set_short(put_default(exif, EXIF_IFD_0, EXIF_TAG_ORIENTATION)->data, order, (ExifShort)want->orientation);
  put_text(exif, EXIF_IFD_EXIF, EXIF_TAG_DATE_TIME_ORIGINAL, want->when);
  if (want->focal_35_mm > 0) {
    ExifEntry *focal = put_default(exif, EXIF_IFD_EXIF, EXIF_TAG_FOCAL_LENGTH_IN_35MM_FILM);
    exif_set_short(focal->data, order, (ExifShort)want->focal_35_mm);
  }
  exif_set_long(put_default(exif, EXIF_IFD_EXIF, EXIF_TAG_PIXEL_X_DIMENSION)->data, order, (ExifLong)width);
  exif_set_long(put_default(exif, EXIF_IFD_EXIF, EXIF_TAG_PIXEL_Y_DIMENSION)->data, order, (ExifLong)height);
  const int plain = strcmp(space_of(want), "sRGB") == 0;
  exif_set_short(put_default(exif, EXIF_IFD_EXIF, EXIF_TAG_COLOR_SPACE)->data, order, plain ? 1 : 0xffff);
  exif_data_save_data(exif, out, size);
  exif_data_unref(exif);
}

static void put_profile(struct jpeg_compress_struct *jpeg, const wish *want)
{
  if (strcmp(want->profile, "untagged") == 0) return;
  cmsHPROFILE profile = profile_of(want->profile, 0);
  cmsUInt32Number size = 0;
  cmsSaveProfileToMem(profile, NULL, &size);
  unsigned char *data = malloc(size);
  cmsSaveProfileToMem(profile, data, &size);
  jpeg_write_icc_profile(jpeg, data, size);
  free(data);
  cmsCloseProfile(profile);
}

static void write_jpeg(const picture *p, const wish *want)
{
  FILE *file = fopen(want->jpeg, "wb");
  if (file == NULL) stop("cannot be written", want->jpeg);
  const int turned = want->orientation >= 5;
  const int width = turned ? p->height : p->width, height = turned ? p->width : p->height;
  struct jpeg_compress_struct jpeg;
  struct jpeg_error_mgr errors;
  jpeg.err = jpeg_std_error(&errors);
  jpeg_create_compress(&jpeg);
  jpeg_stdio_dest(&jpeg, file);
  jpeg.image_width = (JDIMENSION)width, jpeg.image_height = (JDIMENSION)height;
  jpeg.input_components = 3, jpeg.in_color_space = JCS_RGB;
  jpeg_set_defaults(&jpeg);
  jpeg_set_quality(&jpeg, want->quality, TRUE);
  jpeg.optimize_coding = TRUE;
  jpeg.write_JFIF_header = FALSE;
  jpeg_start_compress(&jpeg, TRUE);
  unsigned char *exif = NULL;
  unsigned exif_size = 0;
  make_exif(want, width, height, &exif, &exif_size);
  jpeg_write_marker(&jpeg, JPEG_APP0 + 1, exif, exif_size);
  put_profile(&jpeg, want);
  unsigned char *row = malloc((size_t)width * 3);
  for (int y = 0; y < height; y++) {
    for (int x = 0; x < width; x++)
      for (int c = 0; c < 3; c++)
        row[3 * x + c] = (unsigned char)lrintf(255 * fminf(1, fmaxf(0, stored_pixel(p, want->orientation, x, y)[c])));
    jpeg_write_scanlines(&jpeg, &row, 1);
  }
  jpeg_finish_compress(&jpeg);
  jpeg_destroy_compress(&jpeg);
  free(row), free(exif);
  if (fclose(file) != 0) stop("cannot be written", want->jpeg);
}

int main(int argc, char **argv)
{
  if (argc != 16 && argc != 17) {
    fprintf(stderr, "use: develop NAME LINEAR.png MASK.png OUT.mask.png OUT.jpg PROFILE ORIENTATION EXPOSURE WARM TINT "
                    "VIGNETTE NOISE QUALITY MODEL WHEN\n");
    return 64;
  }
  const wish want = { .name = argv[1], .linear = argv[2], .mask = argv[3], .jpeg = argv[5], .profile = argv[6],
                      .orientation = atoi(argv[7]), .exposure = atof(argv[8]), .warm = atof(argv[9]), .tint = atof(argv[10]),
                      .vignette = atof(argv[11]), .noise = atof(argv[12]), .quality = atoi(argv[13]), .model = argv[14],
                      .when = argv[15], .focal_35_mm = argc > 16 ? atoi(argv[16]) : 0 };
  if (!known_profile(want.profile)) stop("no such profile here", want.profile);
  picture p = read_png(want.linear, 3), mask = { 0 };
  expose(&p, &want);
  encode(&p, &want);
  if (strcmp(want.mask, "-") != 0) { /* a cloth has no cut-out */
    mask = read_png(want.mask, 1);
    if (p.width != mask.width || p.height != mask.height) stop("the mask is not of the picture's size", want.mask);
    write_truth(&p, &mask, &want);
    write_mask(argv[4], &mask);
  }
  finish(&p, &want);
  write_jpeg(&p, &want);
  free(p.at), free(mask.at);
  return 0;
}
