#version 330 core
// The mean of all samples of all texels of a pixel.
#ifdef GL_ES
uniform sampler2D many;  // WebGL 2 has no textures of several samples: they were resolved before
#define TEXEL(place, i) texelFetch(many, place, 0)
#else
uniform sampler2DMS many;
#define TEXEL(place, i) texelFetch(many, place, i)
#endif
uniform int samples;
uniform int grain;  // texels along each side of a pixel
out vec4 color;
void main() {
  ivec2 first = ivec2(gl_FragCoord.xy) * grain;
  vec4 sum = vec4(0.0);
  for (int y = 0; y < grain; ++y)
    for (int x = 0; x < grain; ++x)
      for (int i = 0; i < samples; ++i) sum += TEXEL(first + ivec2(x, y), i);
  color = sum / float(samples * grain * grain);
}
